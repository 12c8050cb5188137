/** A canvas as sharp as the screen, drawn at most once a frame. */
export class Picture {
  private frame = 0;

  constructor(
    private readonly canvas: HTMLCanvasElement,
    private readonly draw: (pen: CanvasRenderingContext2D) => void,
  ) {}

  /** Draws again with the next frame. */
  soon(): void {
    if (this.frame === 0) {
      this.frame = requestAnimationFrame(() => {
        this.frame = 0;
        this.now();
      });
    }
  }

  close(): void {
    cancelAnimationFrame(this.frame);
    this.frame = 0;
  }

  private now(): void {
    const { canvas } = this;
    const { clientWidth, clientHeight } = canvas;
    const pen = canvas.getContext('2d');
    if (!pen || clientWidth === 0) return;
    const sharp = devicePixelRatio;
    const [width, height] = [Math.round(clientWidth * sharp), Math.round(clientHeight * sharp)];
    if (canvas.width !== width) canvas.width = width;
    if (canvas.height !== height) canvas.height = height;
    pen.setTransform(sharp, 0, 0, sharp, 0, 0);
    this.draw(pen);
  }
}
