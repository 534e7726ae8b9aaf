/** How emphasis is shown. Each function wraps text that is already laid out and adds nothing visible but colour. */
export interface TextStyle {
  readonly strong: (text: string) => string;
  readonly dim: (text: string) => string;
  readonly warn: (text: string) => string;
  readonly good: (text: string) => string;
}

/** No emphasis at all: files, pipes, NO_COLOR. */
export const PLAIN_STYLE: TextStyle = {
  strong: (text) => text,
  dim: (text) => text,
  warn: (text) => text,
  good: (text) => text,
};
