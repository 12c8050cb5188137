/** A file that could not be read or written, in words. */
export class TakeFileFault extends Error {
  override readonly name = 'TakeFileFault';
}

/** The message of a failed file operation, in words. */
export function fileTrouble(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
  switch (code) {
    case 'ENOENT':
      return 'there is no such file';
    case 'EISDIR':
      return 'it is a folder';
    case 'EACCES':
    case 'EPERM':
      return 'this user may not use it';
    case 'EROFS':
      return 'the disk is read-only: nothing can be written there';
    case 'EFBIG':
      return 'the disk takes no larger file';
    case 'EDQUOT':
      return 'the share of the disk that this user has is full';
    case 'ENOSPC':
      return 'the disk is full';
    case 'EEXIST':
    case 'ENOTDIR':
      return 'a file is where a folder must be';
    case 'Z_DATA_ERROR':
    case 'Z_BUF_ERROR':
      return `its gzip is damaged (${message}); use another copy of it`;
    default:
      return message;
  }
}
