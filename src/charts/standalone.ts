/** What XML 1.0 does not allow, and marks that reorder the text around them. Source: XML 1.0 (5th ed.), 2.2. */
const NOT_XML = /[^\t\n\r\u{20}-\u{d7ff}\u{e000}-\u{fffd}\u{10000}-\u{10ffff}]|[\u{202a}-\u{202e}\u{2066}-\u{2069}]/gu;

// The writer escapes quotes and angle brackets in texts, so what follows matches its own marks only.
const HOVER_RULES = /<style >.*?<\/style>\n?/gsu;
const DROPPED =
  / (?:class|pointer-events|ecmeta_(?!series_index|data_index)\w+|xmlns:xlink|version|baseProfile)="[^"<]*"/gu;
const ID = /(?<=="(?:url\(#|#)?)zr\d+-[a-z]+\d+/gu;

/**
 * Makes the writer's SVG a document of its own: hover rules, class names and other leavings of the interactive chart
 * go, ids count from 0 behind a hash of the picture (so that several pictures fit on one page), and a title and a
 * description in words are added.
 *
 * @param svg - as the drawing library writes it
 * @param title - plain text
 * @param description - plain text
 */
export function standalone(svg: string, title: string, description: string): string {
  const bare = withOwnIds(
    svg
      .replaceAll(HOVER_RULES, "")
      .replaceAll(DROPPED, "")
      .replaceAll(/ ecmeta_series_index="/gu, ' data-series="')
      .replaceAll(/ ecmeta_data_index="/gu, ' data-index="'),
  );
  const spoken = ` role="img" aria-label="${escaped(description)}">\n<title>${escaped(title)}</title>`;
  const end = bare.indexOf(">");
  return `${bare.slice(0, end)}${spoken}${bare.slice(end + 1)}`.replaceAll(NOT_XML, "\u{fffd}");
}

/** Ids in the order they appear: the writer's own come from counters of the process. */
function withOwnIds(svg: string): string {
  const order = [...new Set(svg.match(ID) ?? [])];
  if (order.length === 0) return svg;
  const numbered = svg.replaceAll(ID, (id) => `id-${order.indexOf(id)}`);
  const hash = hashOf(numbered);
  return svg.replaceAll(ID, (id) => `c${hash}-${order.indexOf(id)}`);
}

/** FNV-1a of 32 bits over code units. Source: G. Fowler, L. C. Noll, K.-P. Vo, IETF draft-eastlake-fnv. */
function hashOf(text: string): string {
  let hash = 0x811c9dc5;
  for (let k = 0; k < text.length; k++) hash = Math.imul(hash ^ text.charCodeAt(k), 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, "0");
}

function escaped(text: string): string {
  return text
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;")
    .replaceAll("'", "&#39;");
}
