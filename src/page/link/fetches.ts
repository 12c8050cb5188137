/*
 * What a page may fetch beside itself, all with GET and from where it came from. NAME is one part of the
 * path, as `encodeURIComponent` writes it.
 *
 *   /takes                  PageTake[], as in the state
 *   /takes/NAME             the bytes of a take that is in that list, gzipped where its file is
 *   /rules, /instruments, /builds                        names: string[]
 *   /rules/NAME.json        Rules; own logic that they name is without its code
 *   /instruments/NAME.json  Instrument
 *   /builds/NAME.json       Build
 *
 * What cannot be had is answered by FetchFault, with status 401 (the key is missing or wrong), 404 (not
 * there) or 422 (something is wrong in the file). The page's connection is a WebSocket at /link.
 */

/** Why something could not be had. */
export interface FetchFault {
  readonly what: string;
  /** What to do next. */
  readonly next: string;
}
