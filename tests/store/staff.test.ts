import { expect, test } from 'vitest';
import { addStaff, createSignInLink, useSignInLink } from '../../src/store/staff.js';
import { storeForFile } from '../helpers/database.js';
import { HOUR, TUESDAY_NINE as now, someClinic } from '../helpers/family.js';

const file = storeForFile();

test('a sign-in link works once, for the one who has it first, and not after its time', async () => {
  const clinicId = await someClinic(file.store);
  const id = await addStaff(file.store, { clinicId, name: 'Amina', role: 'nurse' }, 'toeline', now);
  const token = await createSignInLink(file.store, id, now);
  const used = await Promise.all([1, 2, 3].map(() => useSignInLink(file.store, token, now + 1)));
  expect(used.filter((result) => 'staff' in result)).toHaveLength(1);
  expect(used.filter((result) => 'refused' in result)).toEqual([{ refused: 'used' }, { refused: 'used' }]);
  const late = await createSignInLink(file.store, id, now);
  expect(await useSignInLink(file.store, late, now + HOUR)).toEqual({ refused: 'expired' });
  expect(await useSignInLink(file.store, 'made up', now)).toEqual({ refused: 'unknown' });
  const rows = await file.store.db.selectFrom('sign_in_link').select('token_hash').execute();
  expect(rows.map(({ token_hash }) => token_hash)).not.toContain(token);
});
