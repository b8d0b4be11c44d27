import type { AnswerReader, CheckInDefinitions } from '../../../src/core/conversation/definition.js';
import type { ChildFacts, StepFacts } from '../../../src/core/model/family.js';
import type { ChildId, ClinicId, GuardianId } from '../../../src/core/model/ids.js';
import type { Reading } from '../../../src/core/model/reading.js';
import type { Sign } from '../../../src/core/model/signs.js';
import type { TriageRules } from '../../../src/core/triage/rules.js';
import { checkInDefinitions, loadCheckIns } from '../../../src/flows/check-ins.js';
import { loadMessages } from '../../../src/flows/messages.js';
import { loadTriage } from '../../../src/flows/triage.js';

/** Wednesday 4 March 2026, 17:00 in Nairobi. */
export const NOW = Date.UTC(2026, 2, 4, 14);
export const MINUTE = 60_000;
export const HOUR = 60 * MINUTE;
export const DAY = 24 * HOUR;

const FLOWS = new URL('../../../flows', import.meta.url).pathname;
export const messages = loadMessages(FLOWS);
export const rules: TriageRules = loadTriage(FLOWS);
const bodies = loadCheckIns(FLOWS, messages, rules);

/** Yes, no and single digits in English: just enough to talk; the language packs have their own tests. */
export const plainAnswers: AnswerReader = {
  yesNo: (text) => (/^\s*(yes|y)\b/i.test(text) ? 'yes' : /^\s*(no|n)\b/i.test(text) ? 'no' : null),
  choice: (text) => (/^\s*\d\s*[.)]?\s*$/.test(text) ? Number.parseInt(text, 10) : null),
  asksToBegin: (text) => /^\s*(start|unstop)\s*$/i.test(text),
  asksForLanguage: (text) => (/^\s*kiswahili\s*$/i.test(text) ? 'sw' : null),
};
export const definitions: CheckInDefinitions = checkInDefinitions(bodies, [], plainAnswers);

export function child(facts: Partial<ChildFacts> = {}): ChildFacts {
  return {
    id: 'child-1' as ChildId,
    calledInTexts: 'Amina',
    born: '2025-10-01',
    feet: ['left'],
    phase: 'cast',
    dayInPhase: 10,
    castDay: 3,
    tenotomyDay: null,
    nextVisit: '2026-03-10',
    wearTargetHours: null,
    travelHours: 1,
    recentSigns: [],
    ...facts,
  };
}

export function facts(children: readonly ChildFacts[] = [child()], more: Partial<StepFacts> = {}): StepFacts {
  return {
    clinic: {
      id: 'clinic-1' as ClinicId,
      name: 'Hillside Clinic',
      timeZone: 'Africa/Nairobi',
      callNumber: '+15550100123',
      emergencyNumber: '112',
      sendingFrom: '08:00',
      sendingTo: '20:00',
    },
    guardian: {
      id: 'guardian-1' as GuardianId,
      language: 'en',
      reads: true,
      isStopped: false,
      quietUntil: null,
    },
    children,
    openMatters: [],
    asked: 'open',
    ...more,
  };
}

/** A reading as the reader would give it; evidence is the whole text. */
export function reading(text: string, more: Partial<Reading> = {}): Reading {
  const signs: readonly Sign[] = more.signs ?? [];
  return {
    signs,
    denied: [],
    hours: null,
    intent: null,
    urgency: 'none',
    understood: 1,
    evidence: signs.map((sign) => ({ sign, start: 0, end: text.length })),
    language: 'en',
    unread: [],
    ...more,
  };
}

export const gibberish = (text: string) => reading(text, { understood: 0.1, urgency: 'soon' });
