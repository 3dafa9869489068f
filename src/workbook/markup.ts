// What every part of the file begins with and names (ECMA-376).

/** The namespace of sheets. */
export const main = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main'
/** The namespace of what parts refer to. */
export const relationships = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships'
/** How each part begins. */
export const head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
