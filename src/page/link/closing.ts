/** Why the service closed a page's connection: the code of the close frame. Its reason is in words. */
export const CLOSING = {
  /** The key is missing or wrong; trying again does not help. */
  key: 4001,
  /** As many pages are open as are served; trying again may help. */
  full: 4002,
  /** It asked for far too much at once. */
  flood: 4003,
  /** It did not read, or not answer, for too long. */
  slow: 4004,
  /** The room has ended. */
  over: 4005,
} as const;
