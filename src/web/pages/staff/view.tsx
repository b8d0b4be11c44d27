import type { VNode } from 'preact';
import type { ClinicRow, StaffListRow } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import type { Fault } from '../../parts/fault.js';
import { Faults } from '../../parts/faults.js';
import { Choice, Field } from '../../parts/field.js';
import { may, ROLES } from '../../roles.js';

interface StaffShown {
  readonly ask: Ask;
  readonly staff: readonly StaffListRow[];
  readonly clinics: readonly ClinicRow[];
  readonly faults: readonly Fault[];
  readonly link: { readonly name: string; readonly address: string } | null;
}

/** Who may come in, in which role, and how: by a link that works once. */
export function StaffPage({ ask, staff, clinics, faults, link }: StaffShown): VNode {
  const { words, form } = ask;
  return (
    <>
      <h1>{words.say('set-up.staff')}</h1>
      {may(ask.staff.role as never, 'set-up') ? (
        <nav aria-label={words.say('set-up.title')}>
          <a href="/set-up">{words.say('set-up.hours')}</a>
          <a href="/set-up/staff" aria-current="true">
            {words.say('set-up.staff')}
          </a>
        </nav>
      ) : null}
      <Faults faults={faults} words={words} />
      {link === null ? null : (
        <div class="said" role="status">
          <p>{words.say('staff.link-how', { name: link.name })}</p>
          <p>
            <code class="address" dir="ltr">
              {link.address}
            </code>
          </p>
        </div>
      )}
      <ul class="log">
        {staff.map((person) => (
          <Person key={person.id} ask={ask} person={person} />
        ))}
      </ul>
      <form method="post" action="/set-up/staff">
        <input type="hidden" name="csrf" value={ask.csrf} />
        <fieldset>
          <legend>{words.say('staff.add')}</legend>
          <div class="two">
            <Field name="name" label={words.say('enrol.name')} value={form.get('name')} isRequired />
            <Choice
              name="role"
              label={words.say('staff.role')}
              value={form.get('role') || 'nurse'}
              options={ROLES.map((role) => [role, words.say(`role.${role}`)])}
            />
            <Choice
              name="clinic"
              label={words.say('enrol.clinic')}
              value={form.get('clinic')}
              options={[
                ...clinics.map((clinic): [string, string] => [clinic.id, clinic.name]),
                ...(ask.clinicId === null
                  ? [['all', words.say('staff.all-clinics')] as [string, string]]
                  : []),
              ]}
            />
            <Field name="phone" label={words.say('staff.phone')} value={form.get('phone')} type="tel" />
          </div>
          <p class="acts">
            <button class="main" type="submit">
              {words.say('staff.add-press')}
            </button>
          </p>
        </fieldset>
      </form>
    </>
  );
}

function Person({ ask, person }: { ask: Ask; person: StaffListRow }): VNode {
  const { words } = ask;
  return (
    <li>
      <bdi class="who">{person.name}</bdi>{' '}
      <span class="meta">
        {words.say(`role.${person.role}`)} · {person.clinicName ?? words.say('staff.all-clinics')}
        {person.isActive ? '' : ` · ${words.say('staff.gone')}`}
      </span>
      <div class="acts">
        {person.isActive ? (
          <form method="post" action={`/set-up/staff/${person.id}/link`}>
            <input type="hidden" name="csrf" value={ask.csrf} />
            <button type="submit" aria-label={`${words.say('staff.link')}: ${person.name}`}>
              {words.say('staff.link')}
            </button>
          </form>
        ) : null}
        {person.id === ask.staff.id ? null : (
          <form method="post" action={`/set-up/staff/${person.id}/active`}>
            <input type="hidden" name="csrf" value={ask.csrf} />
            <button
              type="submit"
              aria-label={`${words.say(person.isActive ? 'staff.let-go' : 'staff.let-in')}: ${person.name}`}
            >
              {words.say(person.isActive ? 'staff.let-go' : 'staff.let-in')}
            </button>
          </form>
        )}
      </div>
    </li>
  );
}
