import { CORNER } from './paint.js';
import type { Drawing, PadShape } from './shapes.js';

/** The drawing's width in its own units: fractions of one are not set well as text. */
const UNITS = 1000;

const scaled = (value: number): number => Math.round(value * UNITS * 10) / 10;

/** Numbers of a box as attributes. */
export function boxOf({ x, y, width, height }: PadShape['reach']) {
  return { x: scaled(x), y: scaled(y), width: scaled(width), height: scaled(height) };
}

export function viewBoxOf({ height }: Drawing): string {
  return `0 0 ${String(UNITS)} ${String(scaled(height))}`;
}

/** The shape of a pad. */
export function PadOutline({
  pad,
  class: name,
}: {
  readonly pad: PadShape;
  readonly class: string;
}) {
  const { x, y, width, height } = boxOf(pad);
  if (!pad.round)
    return <rect class={name} x={x} y={y} width={width} height={height} rx={scaled(CORNER)} />;
  const [rx, ry] = [width / 2, height / 2];
  return <ellipse class={name} cx={x + rx} cy={y + ry} rx={rx} ry={ry} />;
}

/** What does not move: the card, the copper on it, the strings. */
export function Board({ drawing }: { readonly drawing: Drawing }) {
  const under = drawing.pads.filter(({ role }) => role !== 'black-key');
  const above = drawing.pads.filter(({ role }) => role === 'black-key');
  return (
    <svg class="board" viewBox={viewBoxOf(drawing)} aria-hidden="true" focusable="false">
      <rect class="board-card" {...boxOf(drawing.body)} rx={drawing.kind === 'holes' ? 90 : 14} />
      {drawing.kind === 'strings' ? <Nut drawing={drawing} /> : null}
      {[...under, ...above].map((pad) => (
        <PadOutline key={pad.pad} pad={pad} class={`pad pad-${pad.role}`} />
      ))}
      {drawing.kind === 'strings'
        ? drawing.places.map(({ line }, i) => <Line key={i} line={line} />)
        : null}
    </svg>
  );
}

function Nut({ drawing }: { readonly drawing: Drawing }) {
  const x = scaled(drawing.body.x);
  return <line class="nut" x1={x} x2={x} y1={0} y2={scaled(drawing.height)} />;
}

function Line({ line }: { readonly line: Drawing['places'][number]['line'] }) {
  if (!line) return null;
  const y = scaled(line.y);
  return <line class="string" x1={scaled(line.x1)} x2={scaled(line.x2)} y1={y} y2={y} />;
}
