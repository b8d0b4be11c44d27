import type { VNode } from 'preact';
import { type Foot, SCORE_SIGNS } from '../../parts/foot-record.js';
import type { Words } from '../../wording.js';

/** What stands in the fields of one foot: as posted, or as an event holds it. */
export type FootValue = (field: string) => string;

/** Six signs by tap and the two angles of one foot. Nothing is required: an empty foot was not examined. */
export function FootFields({ foot, value, words }: { foot: Foot; value: FootValue; words: Words }): VNode {
  return (
    <fieldset>
      <legend>{words.say(`child.foot-${foot}`)}</legend>
      <table class="signs">
        <tbody>
          {SCORE_SIGNS.map((sign) => (
            <tr key={sign}>
              <th scope="row" id={`${foot}.${sign}`}>
                {words.say(`score.${sign}`)}
              </th>
              <td>
                <div class="pick" role="radiogroup" aria-labelledby={`${foot}.${sign}`}>
                  {['0', '0.5', '1'].map((points) => (
                    <label key={points}>
                      <input
                        type="radio"
                        name={`${foot}.${sign}`}
                        value={points}
                        checked={value(`${foot}.${sign}`) === points}
                      />
                      <span>{points === '0.5' ? '½' : points}</span>
                    </label>
                  ))}
                </div>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <div class="two">
        <Angle
          id={`${foot}.abduction`}
          label={words.say('child.abduction')}
          value={value(`${foot}.abduction`)}
        />
        <Angle
          id={`${foot}.dorsiflexion`}
          label={words.say('child.dorsiflexion')}
          value={value(`${foot}.dorsiflexion`)}
        />
      </div>
    </fieldset>
  );
}

function Angle({ id, label, value }: { id: string; label: string; value: string }): VNode {
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input id={id} name={id} inputMode="numeric" value={value} autocomplete="off" />
    </div>
  );
}

/** Which way the abduction was measured: the same foot reads about 20 degrees apart. */
export function AngleKind({ value, words }: { value: string; words: Words }): VNode {
  return (
    <fieldset>
      <legend>{words.say('visit-form.angle')}</legend>
      <div class="pick">
        {['thigh-foot', 'leg-foot'].map((kind) => (
          <label key={kind}>
            <input type="radio" name="angle" value={kind} checked={value === kind} />
            <span>{words.say(`angle.${kind}`)}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}
