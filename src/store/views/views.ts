import type { Kysely } from 'kysely';
import { childPage } from './child-page.js';
import { children } from './children.js';
import { comingUp } from './coming-up.js';
import { clinics, knownChildren, likelyDuplicates } from './enrolment.js';
import { flagPage } from './flag-page.js';
import { phoneOwners } from './phone-owners.js';
import { answers, caseload, firstActions, textsByMonth, treatedChildren, wearBands } from './programme.js';
import { queueCounts, queueNews, queueRows } from './queue.js';
import { saidAboutChild, saidWithNumber } from './said.js';
import { activeStaff, colleagues, staffList } from './staff.js';

/** Everything the pages read. Nothing here writes. */
export function createViews<Tables>(tables: Kysely<Tables>) {
  const db = tables as unknown as Kysely<unknown>;
  return {
    queueRows: (ask: Parameters<typeof queueRows>[1]) => queueRows(db, ask),
    queueCounts: (ask: Parameters<typeof queueCounts>[1]) => queueCounts(db, ask),
    queueNews: (clinicId: string | null) => queueNews(db, clinicId),
    flagPage: (ask: Parameters<typeof flagPage>[1]) => flagPage(db, ask),
    saidAboutChild: (childId: string, limit: number) => saidAboutChild(db, childId, limit),
    saidWithNumber: (number: string, limit: number) => saidWithNumber(db, number, limit),
    activeStaff: (id: string) => activeStaff(db, id),
    colleagues: (clinicId: string | null) => colleagues(db, clinicId),
    children: (ask: Parameters<typeof children>[1]) => children(db, ask),
    childPage: (ask: Parameters<typeof childPage>[1]) => childPage(db, ask),
    clinics: (clinicId: string | null) => clinics(db, clinicId),
    likelyDuplicates: (ask: Parameters<typeof likelyDuplicates>[1]) => likelyDuplicates(db, ask),
    knownChildren: (ask: Parameters<typeof knownChildren>[1]) => knownChildren(db, ask),
    phoneOwners: (ask: Parameters<typeof phoneOwners>[1]) => phoneOwners(db, ask),
    caseload: (ask: Parameters<typeof caseload>[1]) => caseload(db, ask),
    firstActions: (ask: Parameters<typeof firstActions>[1]) => firstActions(db, ask),
    answers: (ask: Parameters<typeof answers>[1]) => answers(db, ask),
    textsByMonth: (ask: Parameters<typeof textsByMonth>[1]) => textsByMonth(db, ask),
    wearBands: (ask: Parameters<typeof wearBands>[1]) => wearBands(db, ask),
    treatedChildren: (ask: Parameters<typeof treatedChildren>[1]) => treatedChildren(db, ask),
    staffList: (clinicId: string | null) => staffList(db, clinicId),
    comingUp: (ask: Parameters<typeof comingUp>[1]) => comingUp(db, ask),
  };
}

export type Views = ReturnType<typeof createViews>;
