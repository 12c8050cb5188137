import type { Box } from './boxes.js';
import { placed, type Scene } from './paint.js';
import type { Row } from './rows.js';

/** Narrower ones have no room for a frame, in CSS pixels. */
const THIN = 6;

/** The notes of one side on one place. */
export function paintBoxes(pen: CanvasRenderingContext2D, scene: Scene, row: Row): void {
  if (row.kind === 'pad') return;
  const { span, boxes } = scene;
  for (const box of boxes[row.kind][row.place] ?? []) {
    if (box.from > span.to) break;
    if (box.to >= span.from) paintBox(pen, scene, row, box);
  }
}

function paintBox(pen: CanvasRenderingContext2D, scene: Scene, row: Row, box: Box): void {
  const { colours, rem } = scene;
  const left = Math.max(-10, placed(scene, box.from));
  const right = Math.min(scene.width + 10, placed(scene, box.to));
  const width = Math.max(3, right - left - 1);
  const [top, height] = [row.top + 2, row.height - 5];
  const another = box.look === 'another' || box.look === 'only';
  const gap = box.look === 'gap';
  const isCurrent = box.number > 0 && box.number === scene.current;
  if (width < THIN && !isCurrent) {
    // Too many to tell apart by their frames: what everybody hears stands out by its full height.
    const low = another || gap ? 0 : height * 0.35;
    pen.fillStyle = colourOf(box.look, colours);
    pen.fillRect(left, top + low, Math.max(1.5, width - 1), height - low);
    return;
  }

  pen.save();
  pen.beginPath();
  pen.rect(left, top, width, height);
  if (!gap) {
    pen.fillStyle = another ? colours.pale : colours.raised;
    pen.fill();
  }
  if (box.look === 'only') hatch(pen, colours.raised, left, top, width, height);
  pen.strokeStyle = colourOf(box.look, colours);
  pen.lineWidth = gap || another ? 2 : 1;
  if (gap) pen.setLineDash([4, 3]);
  if (box.look === 'wanted') pen.setLineDash([1.5, 2.5]);
  pen.strokeRect(left + 0.5, top + 0.5, width - 1, height - 1);
  pen.setLineDash([]);
  // A thick left edge: where it begins is what one looks for.
  pen.fillStyle = pen.strokeStyle;
  pen.fillRect(left, top, another || gap ? 4 : 2.5, height);
  if (isCurrent) {
    pen.lineWidth = 3;
    pen.strokeStyle = colours.ink;
    pen.strokeRect(left - 2, top - 2, width + 4, height + 3);
  }
  write(pen, scene, box, { left, width, middle: top + height / 2, room: 0.375 * rem });
  pen.restore();
}

function colourOf(look: Box['look'], { ink, soft, strong, bad }: Scene['colours']): string {
  switch (look) {
    case 'gap':
      return bad;
    case 'another':
    case 'only':
      return strong;
    case 'wanted':
      return soft;
    case 'alike':
    case 'differs':
      return ink;
  }
}

function write(
  pen: CanvasRenderingContext2D,
  { colours, font, pitch, result }: Scene,
  { look, signs, pitch: note, velocity }: Box,
  at: { left: number; width: number; middle: number; room: number },
): void {
  const bold = look === 'another' || look === 'only' || look === 'gap';
  const name = result.instrument.kind === 'hits' ? '' : pitch(note);
  const strength = look === 'wanted' ? '' : String(velocity ?? '');
  const full = look === 'gap' ? signs : [signs, name, strength].filter(Boolean).join(' ');
  const texts = look === 'gap' ? [full] : [full, [signs, name].filter(Boolean).join(' '), signs];
  pen.font = bold ? `700 ${font}` : font;
  pen.fillStyle = look === 'gap' ? colours.bad : look === 'wanted' ? colours.soft : colours.ink;
  pen.textBaseline = 'middle';
  const fits = texts.find((text) => text !== '' && widthOf(pen, text) + 2 * at.room <= at.width);
  if (fits !== undefined) pen.fillText(fits, Math.max(at.left, 0) + at.room + 1, at.middle + 0.5);
}

/** Measuring is slow, and the same few texts come again and again. */
const widths = new Map<string, number>();
const MOST_WIDTHS = 5_000;

function widthOf(pen: CanvasRenderingContext2D, text: string): number {
  const key = `${pen.font} ${text}`;
  const known = widths.get(key);
  if (known !== undefined) return known;
  if (widths.size > MOST_WIDTHS) widths.clear();
  const { width } = pen.measureText(text);
  widths.set(key, width);
  return width;
}

function hatch(
  pen: CanvasRenderingContext2D,
  colour: string,
  left: number,
  top: number,
  width: number,
  height: number,
): void {
  pen.save();
  pen.clip();
  pen.strokeStyle = colour;
  pen.lineWidth = 3;
  pen.beginPath();
  for (let x = left - height; x < left + width; x += 9) {
    pen.moveTo(x, top + height);
    pen.lineTo(x + height, top);
  }
  pen.stroke();
  pen.restore();
}
