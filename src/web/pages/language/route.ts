import type { StaffId } from '../../../core/model/ids.js';
import { setStaffLanguage } from '../../../store/staff-language.js';
import type { Answer, Ask, PageRoute } from '../../page.js';

export const languageRoutes: readonly PageRoute[] = [
  { method: 'POST', path: '/language', needs: 'anyone', answer: choose },
];

/** The language of the pages for this member of staff, on every browser. */
async function choose(ask: Ask): Promise<Answer> {
  const language = ask.form.get('language');
  if (ask.deps.languages.has(language)) {
    await setStaffLanguage(ask.deps.store, ask.staff.id as StaffId, language, ask.now);
  }
  return { kind: 'go', to: ask.form.get('back') || '/' };
}
