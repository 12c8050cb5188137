import { FULL_TOUCH, NO_NOTE } from '../../link/frames.js';
import type { Colours } from './colours.js';
import type { Box, Drawing, PadShape, PlaceShape } from './shapes.js';
import type { Shown } from './shown.js';

/** What is painted over an instrument's drawing. */
export interface Painting {
  readonly drawing: Drawing;
  readonly shown: Shown;
  readonly colours: Colours;
  /** What is written for a note that sounds. */
  readonly noteWords: (note: number) => string;
  /** Device pixels of the drawing's width. */
  readonly width: number;
}

/** The corners of a pad that is not round. */
export const CORNER = 0.014;

type Pen = CanvasRenderingContext2D;

/** Paints levels, touches and what sounds, all of it again. */
export function paint(pen: Pen, painting: Painting): void {
  const { drawing, width } = painting;
  pen.clearRect(0, 0, width, Math.ceil(width * drawing.height));
  const isBlack = (pad: PadShape | undefined): boolean => pad?.role === 'black-key';
  // Black keys lie on the white ones, with all that is painted on those.
  for (const above of drawing.pads.some(isBlack) ? [false, true] : [false]) {
    for (const pad of drawing.pads) if (isBlack(pad) === above) paintPad(pen, pad, painting);
    drawing.places.forEach((place, i) => {
      const note = painting.shown.notes[i] ?? NO_NOTE;
      const black = drawing.kind === 'keys' && isBlack(drawing.pads[i]);
      if (note !== NO_NOTE && black === above) paintNote(pen, place, i, note, painting);
    });
  }
}

/** A level rises in the pad from below; a touched one is full and has a thick dark rim. */
function paintPad(pen: Pen, pad: PadShape, { shown, colours, width }: Painting): void {
  const level = Math.min(1, (shown.pads[pad.pad] ?? 0) / FULL_TOUCH);
  const touched = shown.touched[pad.pad] === 1;
  const dark = pad.role === 'black-key';
  if (level < 0.02 && !touched && !dark) return;
  if (dark) {
    outline(pen, pad, width);
    pen.fillStyle = colours.dark;
    pen.fill();
  }
  if (touched) {
    outline(pen, pad, width);
    pen.fillStyle = colours.strong;
    pen.fill();
    pen.strokeStyle = colours.ink;
    pen.lineWidth = Math.max(2, width * 0.009);
    pen.stroke();
    return;
  }
  if (level < 0.02) return;
  if (pad.round) {
    // A disc that grows from the middle: what a round pad has of a level that rises.
    ellipse(pen, pad, width, Math.sqrt(level));
    pen.fillStyle = colours.copper;
    pen.fill();
    return;
  }
  const high = pad.height * level;
  outline(pen, { ...pad, y: pad.y + pad.height - high, height: high }, width);
  pen.fillStyle = colours.copper;
  pen.fill();
}

/** A thick line on its string or a ring around its pad, the note's name, and a bar as long as it is strong. */
function paintNote(pen: Pen, place: PlaceShape, i: number, note: number, painting: Painting): void {
  const { drawing, shown, colours, width, noteWords } = painting;
  const strength = (shown.strengths[i] ?? 0) / 255;
  pen.strokeStyle = colours.ink;
  if (place.line) {
    const stopped = drawing.pads.find(
      (pad) => pad.role === 'fret' && pad.place === i && pad.nth === note - pad.note,
    );
    const from = stopped ? stopped.x + stopped.width : place.line.x1;
    pen.lineWidth = width * (0.006 + 0.012 * strength);
    pen.beginPath();
    pen.moveTo(from * width, place.line.y * width);
    pen.lineTo(place.line.x2 * width, place.line.y * width);
    pen.stroke();
  } else {
    const own = drawing.pads.find((pad) => pad.place === i);
    if (own) {
      outline(pen, own, width);
      pen.lineWidth = Math.max(3, width * 0.014);
      pen.stroke();
    }
  }
  sign(pen, place.sign, noteWords(note), strength, painting);
}

function sign(pen: Pen, box: Box, words: string, strength: number, painting: Painting): void {
  const { drawing, colours, width } = painting;
  const [x, y, wide, high] = [box.x * width, box.y * width, box.width * width, box.height * width];
  if (drawing.kind === 'keys') {
    pen.fillStyle = colours.raised;
    pen.fillRect(x, y, wide, high);
  }
  pen.fillStyle = colours.ink;
  const size = Math.min(high * 0.6, wide / Math.max(1.6, words.length * 0.6));
  pen.font = `600 ${String(Math.round(size))}px system-ui, sans-serif`;
  pen.textAlign = 'center';
  pen.textBaseline = 'middle';
  pen.fillText(words, x + wide / 2, y + high * 0.38, wide);
  const bar = Math.max(2, high * 0.12);
  pen.fillStyle = colours.strong;
  pen.fillRect(x + wide * 0.1, y + high * 0.8, wide * 0.8 * strength, bar);
  pen.strokeStyle = colours.ink;
  pen.lineWidth = 1;
  pen.strokeRect(x + wide * 0.1, y + high * 0.8, wide * 0.8, bar);
}

function outline(pen: Pen, pad: PadShape, width: number): void {
  if (pad.round) {
    ellipse(pen, pad, width, 1);
    return;
  }
  pen.beginPath();
  const corner = Math.min(CORNER, pad.height / 2) * width;
  pen.roundRect(pad.x * width, pad.y * width, pad.width * width, pad.height * width, corner);
}

function ellipse(pen: Pen, { x, y, width: w, height: h }: Box, width: number, share: number): void {
  const [cx, cy] = [(x + w / 2) * width, (y + h / 2) * width];
  pen.beginPath();
  pen.ellipse(cx, cy, (w / 2) * width * share, (h / 2) * width * share, 0, 0, 2 * Math.PI);
}
