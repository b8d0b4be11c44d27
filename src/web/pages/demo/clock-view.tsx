import type { VNode } from 'preact';
import type { NextEvent } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import { lengthOfTime, moment } from '../../times.js';

/** The demonstration's clock and what it will meet next. */
export function ClockPage({ ask, events }: { ask: Ask; events: readonly NextEvent[] }): VNode {
  const { words } = ask;
  return (
    <>
      <h1>{words.say('demo.clock')}</h1>
      <p class="who">{words.say('demo.clock-now', { time: moment(ask.now, ask.zone, words) })}</p>
      <p>{words.say('demo.clock-how')}</p>
      <form method="post" action="/demo/clock" class="acts">
        <input type="hidden" name="csrf" value={ask.csrf} />
        {['next', 'hour', 'day', 'morning'].map((move) => (
          <button key={move} type="submit" name="move" value={move} class={move === 'next' ? 'main' : ''}>
            {words.say(`demo.${move}`)}
          </button>
        ))}
      </form>
      <h2>{words.say('demo.coming')}</h2>
      {events.length === 0 ? (
        <p>{words.say('demo.none-coming')}</p>
      ) : (
        <ol class="log">
          {events.map((event, i) => (
            <li key={i}>
              <span class="meta">
                {moment(event.at, ask.zone, words)} · +{lengthOfTime(event.at - ask.now, words)}
              </span>
              <br />
              {words.say(`demo.event-${event.what}`)} <bdi class="quiet">{event.about}</bdi>
            </li>
          ))}
        </ol>
      )}
    </>
  );
}
