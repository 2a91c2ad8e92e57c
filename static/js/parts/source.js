/** Where a limit comes from and how sure that is, in core's words; empty without a source. */
export const sourceLine = (source) => source?.text ?? "";
