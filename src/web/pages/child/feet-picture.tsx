import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import type { VNode } from 'preact';
import type { FootPoint } from '../../parts/foot-record.js';
import { day } from '../../times.js';
import type { Words } from '../../wording.js';

const WIDTH = 360;
const HEIGHT = 150;
const MARGIN = { left: 26, right: 10, top: 12, bottom: 22 };

/**
 * Abduction gained per cast is about 10 to 15 degrees (clubfootponseti.com, treatment phase, as seen) and the goal is
 * 60 to 70 degrees, thigh-foot (Gupta S, Agarwal A. J Foot Ankle Surg (Asia Pacific) 2021;8(3):118-125,
 * doi 10.5005/jp-journals-10040-1172). Drawn only for angles said to be thigh-foot.
 */
const GAIN = { least: 10, most: 15 };
const GOAL = { least: 60, most: 70 };

/** Score and abduction of one foot, visit by visit. */
export function FootPicture({ points, words }: { points: readonly FootPoint[]; words: Words }): VNode {
  const scores = points.filter((point) => point.score !== null);
  const angles = points.filter((point) => point.abduction !== null);
  return (
    <div class="two">
      <figure>
        <figcaption>{words.say('child.score')}</figcaption>
        <Plot
          points={scores}
          value={(p) => p.score ?? 0}
          top={6}
          ticks={[0, 2, 4, 6]}
          label={words.say('child.score')}
          words={words}
        />
      </figure>
      <figure>
        <figcaption>{words.say('child.abduction')}</figcaption>
        <Plot
          points={angles}
          value={(p) => p.abduction ?? 0}
          top={80}
          ticks={[0, 20, 40, 60]}
          label={words.say('child.abduction')}
          words={words}
          hasPath={angles.length > 0 && angles.every((p) => p.abductionAngle === 'thigh-foot')}
        />
      </figure>
    </div>
  );
}

interface Plotted {
  readonly points: readonly FootPoint[];
  readonly value: (point: FootPoint) => number;
  readonly top: number;
  readonly ticks: readonly number[];
  readonly label: string;
  readonly words: Words;
  readonly hasPath?: boolean;
}

function Plot({ points, value, top, ticks, label, words, hasPath }: Plotted): VNode {
  if (points.length === 0) return <p class="quiet">{words.say('child.none-measured')}</p>;
  const lowest = Math.min(0, ...points.map(value));
  const x = scaleLinear([0, Math.max(1, points.length - 1)], [MARGIN.left + 16, WIDTH - MARGIN.right - 8]);
  const y = scaleLinear([lowest, top], [HEIGHT - MARGIN.bottom, MARGIN.top]);
  const drawn = line<FootPoint>(
    (_point, i) => x(i),
    (point) => y(value(point)),
  );
  return (
    <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} width={WIDTH} role="img" aria-label={label}>
      {ticks.map((tick) => (
        <g key={tick}>
          <line x1={MARGIN.left} x2={WIDTH - MARGIN.right} y1={y(tick)} y2={y(tick)} class="ax" />
          <text x={MARGIN.left - 4} y={y(tick) + 4} text-anchor="end" class="q">
            {tick}
          </text>
        </g>
      ))}
      {hasPath === true ? (
        <ExpectedPath points={points} x={x} y={y} start={value(points[0] as FootPoint)} />
      ) : null}
      <path d={drawn(points) ?? ''} class="ln" />
      {points.map((point, i) => (
        <g key={point.eventId}>
          <circle cx={x(i)} cy={y(value(point))} r={4} class="dot">
            <title>{`${day(point.date, words)}: ${value(point)}`}</title>
          </circle>
          <text x={x(i)} y={y(value(point)) - 7} text-anchor="middle">
            {value(point)}
          </text>
          <text x={x(i)} y={HEIGHT - 6} text-anchor="middle" class="q">
            {point.castNumber ?? '·'}
          </text>
        </g>
      ))}
    </svg>
  );
}

/** The band a foot is expected to climb through, cast by cast, up to the goal. */
function ExpectedPath(props: {
  points: readonly FootPoint[];
  x: (i: number) => number;
  y: (value: number) => number;
  start: number;
}): VNode {
  const { points, x, y, start } = props;
  const upper = points.map((_p, i) => `${x(i)},${y(Math.min(GOAL.most, start + GAIN.most * i))}`);
  const lower = points.map((_p, i) => `${x(i)},${y(Math.min(GOAL.least, start + GAIN.least * i))}`);
  return <polygon points={[...upper, ...lower.reverse()].join(' ')} class="path" />;
}
