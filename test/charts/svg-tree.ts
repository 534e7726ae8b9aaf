/** An element of a document, read strictly: what is not well-formed throws. */
export interface SvgElement {
  readonly tag: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: readonly SvgElement[];
  /** Text right below it. */
  readonly text: string;
}

interface Open {
  readonly tag: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: SvgElement[];
  text: string;
}

const OPENING = /<([A-Za-z][\w:-]*)((?:\s+[A-Za-z_][\w:.-]*="[^"<]*")*)\s*(\/?)>/uy;
const CLOSING = /<\/([A-Za-z][\w:-]*)>/uy;
const TEXT = /[^<]+/uy;
const ENTITIES: Readonly<Record<string, string>> = { amp: "&", lt: "<", gt: ">", quot: '"', "#39": "'" };
// Source: XML 1.0 (5th ed.), production 2.
const ALLOWED = /^[\t\n\r\u{20}-\u{d7ff}\u{e000}-\u{fffd}\u{10000}-\u{10ffff}]*$/u;

/** Reads elements, attributes and texts; comments, CDATA, declarations and unknown entities are refused. */
export function readSvg(document: string): SvgElement {
  if (!ALLOWED.test(document)) throw new Error("a character that XML does not allow");
  const top: Open = { tag: "", attributes: new Map(), children: [], text: "" };
  const stack = [top];
  let at = 0;
  const next = (form: RegExp): RegExpExecArray | null => {
    form.lastIndex = at;
    const match = form.exec(document);
    at = match === null ? at : form.lastIndex;
    return match;
  };
  while (at < document.length) {
    const current = stack.at(-1)!;
    const text = next(TEXT);
    if (text !== null) {
      current.text += decoded(text[0]);
      continue;
    }
    const closing = next(CLOSING);
    if (closing !== null) {
      if (stack.length < 2 || closing[1] !== current.tag) throw new Error(`</${closing[1]}> closes <${current.tag}>`);
      stack.pop();
      continue;
    }
    const opening = next(OPENING);
    if (opening === null) throw new Error(`not well-formed: ${document.slice(at, at + 60)}`);
    const element: Open = { tag: opening[1] ?? "", attributes: attributesOf(opening[2] ?? ""), children: [], text: "" };
    current.children.push(element);
    if (opening[3] === "") stack.push(element);
  }
  const [root] = top.children;
  if (stack.length > 1) throw new Error(`<${stack.at(-1)!.tag}> is not closed`);
  if (root === undefined || top.children.length > 1 || top.text.trim() !== "") throw new Error("not one root element");
  return root;
}

function attributesOf(text: string): Map<string, string> {
  const found = new Map<string, string>();
  for (const [, name = "", value = ""] of text.matchAll(/([A-Za-z_][\w:.-]*)="([^"]*)"/gu)) {
    if (found.has(name)) throw new Error(`attribute ${name} twice`);
    found.set(name, decoded(value));
  }
  return found;
}

function decoded(text: string): string {
  return text.replaceAll(/&([^;\s]*);?/gu, (whole, name: string) => {
    const letter = ENTITIES[name];
    if (letter === undefined || !whole.endsWith(";")) throw new Error(`not an entity: ${whole}`);
    return letter;
  });
}

/** An element and everything below it, in document order. */
export function everyElement(root: SvgElement): SvgElement[] {
  return [root, ...root.children.flatMap(everyElement)];
}

/** All texts of a picture, without its title. */
export function textsOf(root: SvgElement): string[] {
  return everyElement(root)
    .filter(({ tag }) => tag === "text")
    .map(({ text }) => text);
}

export interface Point {
  readonly x: number;
  readonly y: number;
}

/** Where a mark lies that is moved into place: its `translate`, or the last two numbers of its `matrix`. */
export function placeOf({ attributes }: SvgElement): Point {
  const transform = attributes.get("transform") ?? "";
  const numbers = (/\(([^)]*)\)/u.exec(transform)?.[1] ?? "").split(/[\s,]+/u).map(Number);
  const [x, y] = numbers.slice(-2);
  if (x === undefined || y === undefined) throw new Error(`no place in "${transform}"`);
  return { x, y };
}

/** Smallest box around a path of straight absolute and relative lines. */
export function boxOf({ attributes }: SvgElement): { left: number; right: number; top: number; bottom: number } {
  const points = pointsOf(attributes.get("d") ?? "");
  const xs = points.map(({ x }) => x);
  const ys = points.map(({ y }) => y);
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
}

/** Corners of a path made of M, L and l. */
export function pointsOf(path: string): Point[] {
  const points: Point[] = [];
  for (const [, command, x, y] of path.matchAll(/([MLl])\s*(-?[\d.e-]+)[\s,]+(-?[\d.e-]+)/gu)) {
    const from = command === "l" ? points.at(-1)! : { x: 0, y: 0 };
    points.push({ x: from.x + Number(x), y: from.y + Number(y) });
  }
  return points;
}

/** Corners of a polyline. */
export function polylineOf({ attributes }: SvgElement): Point[] {
  const numbers = (attributes.get("points") ?? "")
    .trim()
    .split(/[\s,]+/u)
    .map(Number);
  return numbers.flatMap((x, k) => (k % 2 === 0 ? [{ x, y: numbers[k + 1] ?? Number.NaN }] : []));
}

/** Marks of one series, in the order of its data; signs of the legend, which are moved into place, are left out. */
export function marksOf(root: SvgElement, series: number, tag = "path"): SvgElement[] {
  return everyElement(root)
    .filter((each) => each.tag === tag && each.attributes.get("data-series") === String(series))
    .filter((each) => !(each.attributes.get("transform") ?? "").startsWith("translate("))
    .toSorted((a, b) => Number(a.attributes.get("data-index")) - Number(b.attributes.get("data-index")));
}
