import { useSignal, type Signal } from '@preact/signals';
import type { RefObject } from 'preact';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { texts } from '../texts/texts.js';
import { boxOf, PadOutline, viewBoxOf } from './board.js';
import type { Holds } from './holds.js';
import { padLabel, padSign } from './pad-label.js';
import { playPads } from './play-pads.js';
import type { Drawing, PadShape } from './shapes.js';

interface PadsProps {
  readonly drawing: Drawing;
  /** The pads that are held here; null: it is only looked at. */
  readonly holds: Holds | null;
  /** The held ones, by pad number; a set that is new whenever it changes. */
  readonly held: ReadonlySet<number>;
  readonly label: string;
  /** The element that says how to play. */
  readonly help: string;
  /** The pad that a guide asks for, and those that are done. */
  readonly asked: number | null;
  readonly done: readonly number[];
}

/** What lies on top of the painting: the pads' names, and the pads as keys where they can be played. */
export function Pads({ drawing, holds, held, label, help, asked, done }: PadsProps) {
  const element = useRef<SVGSVGElement>(null);
  const focus = useSignal(drawing.pads[0]?.pad ?? 0);
  useFittingFocus(element, drawing, focus);
  useEffect(() => {
    const svg = element.current;
    if (!svg || !holds) return;
    const onFocus = (pad: number): void => {
      focus.value = pad;
      svg.querySelector<SVGElement>(`[data-pad="${String(pad)}"]`)?.focus();
    };
    return playPads({ element: svg, drawing, holds, onFocus });
  }, [drawing, holds]);
  const t = texts.value;
  const role = holds
    ? ({ role: 'group', 'aria-label': label, 'aria-describedby': help } as const)
    : ({ 'aria-hidden': true } as const);
  return (
    <svg ref={element} class="pads" viewBox={viewBoxOf(drawing)} {...role}>
      {drawing.pads.map((pad) => (
        <g
          key={pad.pad}
          class="pad-button"
          data-pad={pad.pad}
          {...(holds
            ? {
                role: 'button',
                tabindex: pad.pad === focus.value ? 0 : -1,
                'aria-label': padLabel(pad, t),
                'aria-pressed': held.has(pad.pad),
                onFocus: () => {
                  focus.value = pad.pad;
                },
              }
            : {})}
        >
          {holds ? <rect class="reach" {...boxOf(pad.reach)} /> : null}
          <PadOutline pad={pad} class={`pad-ring${held.has(pad.pad) ? ' pad-held' : ''}`} />
          <Sign pad={pad} words={padSign(pad, t)} />
          {asked === pad.pad ? <Asked pad={pad} /> : null}
          {done.includes(pad.pad) ? <Done pad={pad} /> : null}
        </g>
      ))}
      {drawing.kind === 'strings' ? <OpenStrings drawing={drawing} /> : null}
    </svg>
  );
}

/**
 * Has one pad that the keyboard reaches, also once the instrument is another one. Where the keyboard was
 * on a pad that has gone, it goes to that one.
 */
function useFittingFocus(
  element: RefObject<SVGSVGElement | null>,
  drawing: Drawing,
  focus: Signal<number>,
): void {
  const inside = useRef(false);
  useEffect(() => {
    const svg = element.current;
    const enter = (): void => {
      inside.current = true;
    };
    const leave = ({ relatedTarget }: FocusEvent): void => {
      // Without a next element, what had the focus may just have been taken away.
      if (relatedTarget !== null) inside.current = false;
    };
    svg?.addEventListener('focusin', enter);
    svg?.addEventListener('focusout', leave);
    return () => {
      svg?.removeEventListener('focusin', enter);
      svg?.removeEventListener('focusout', leave);
    };
  }, []);
  useLayoutEffect(() => {
    if (drawing.pads.some(({ pad }) => pad === focus.peek())) return;
    const first = drawing.pads[0]?.pad ?? 0;
    focus.value = first;
    const lost = (document.activeElement ?? document.body) === document.body;
    if (inside.current && lost) {
      element.current?.querySelector<SVGElement>(`[data-pad="${String(first)}"]`)?.focus();
    }
  }, [drawing]);
}

function Sign({ pad, words }: { readonly pad: PadShape; readonly words: string }) {
  if (words === '') return null;
  const { x, y, width, height } = boxOf(pad);
  const long = pad.role === 'drum';
  const lines = long ? words.split(' ') : [words];
  const below = pad.role === 'key' || pad.role === 'black-key';
  const middle = below
    ? y + height * (pad.role === 'key' ? 0.68 : 0.3)
    : y + height / 2 - (lines.length - 1) * 22;
  return (
    <text class={`pad-sign pad-sign-${pad.role}`} x={x + width / 2} y={middle}>
      {lines.map((line, i) => (
        <tspan key={line} x={x + width / 2} dy={i === 0 ? 0 : 44}>
          {`${line} `}
        </tspan>
      ))}
    </text>
  );
}

/** An arrowhead and a thick dashed ring: touch this one. */
function Asked({ pad }: { readonly pad: PadShape }) {
  const { x, y, width } = boxOf(pad);
  const tip = `${String(x + width / 2)} ${String(y + 40)}`;
  return (
    <>
      <PadOutline pad={pad} class="pad-asked" />
      <path class="pad-arrow" d={`M${tip}l-34 -46h68z`} />
    </>
  );
}

/** A tick in the corner. */
function Done({ pad }: { readonly pad: PadShape }) {
  const { x, y, width } = boxOf(pad);
  return <path class="pad-done" d={`M${String(x + width - 44)} ${String(y + 24)}l12 14 22 -28`} />;
}

function OpenStrings({ drawing }: { readonly drawing: Drawing }) {
  const t = texts.value;
  return (
    <>
      {drawing.pads
        .filter(({ role }) => role === 'pluck')
        .map((pad) => {
          const { y, height } = boxOf(pad);
          const words = padSign({ ...pad, role: 'key' }, t);
          return (
            <text key={pad.pad} class="open-string" x={64} y={y + height / 2}>
              {words}
            </text>
          );
        })}
    </>
  );
}
