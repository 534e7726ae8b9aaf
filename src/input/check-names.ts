import { nearestName } from "../faults/nearest-name.ts";
import { unknownName } from "../faults/wordings.ts";
import type { AnyPart } from "../machine/catalogue.ts";
import { joinPointer } from "./json-pointer.ts";
import { addFault, child, children, type Node, placeOf } from "./node.ts";
import type { CataloguesRead } from "./read-catalogues.ts";
import { optionalTexts } from "./values.ts";

/** Names in the problem that have to be in a catalogue: parts, makers, and the columns that `match` filters. */
export function checkNames(root: Node, read: CataloguesRead): void {
  const { makers, catalogue } = read;
  const everything = Object.values(catalogue).flatMap((list): readonly AnyPart[] => list);
  const forbid = child(root, "forbid");
  checkList(forbid, "parts", { known: everything.map(({ part }) => part), expected: "a part number of a catalogue" });
  checkList(forbid, "makers", { known: makers, expected: "a maker of a catalogue" });
  for (const axis of children(root, "machines").flatMap((machine) => children(machine, "axes"))) {
    checkAllow(child(axis, "allow"), read);
    checkMatch(child(child(axis, "needs"), "match"), read);
  }
}

function checkAllow(allow: Node, { makers, catalogue }: CataloguesRead): void {
  for (const key of ["motors", "gearboxes", "drives"] as const) {
    checkList(allow, key, {
      known: catalogue[key].map(({ part }) => part),
      expected: `a part number among the ${key}`,
    });
  }
  checkList(allow, "makers", { known: makers, expected: "a maker of a catalogue" });
}

/** As the schema has it, which reports other names. */
const COLUMN_NAME = /^(motor|gearbox|drive)\.[^.]+$/;

function checkMatch(match: Node, { catalogue }: CataloguesRead): void {
  const names = Object.keys(match.members).filter((key) => COLUMN_NAME.test(key));
  if (names.length === 0) return;
  const known = new Set<string>();
  for (const [kind, list] of [
    ["motor", catalogue.motors],
    ["gearbox", catalogue.gearboxes],
    ["drive", catalogue.drives],
  ] as const) {
    for (const { texts } of list) for (const column of Object.keys(texts)) known.add(`${kind}.${column}`);
  }
  for (const name of names.filter((key) => !known.has(key))) {
    const nearest = nearestName(name, [...known]);
    addFault(match, unknownName(placeOf(match, name), { name, expected: "a column of a catalogue", nearest }));
  }
}

function checkList(
  node: Node,
  key: string,
  says: { readonly known: readonly string[]; readonly expected: string },
): void {
  const names = optionalTexts(node, key) ?? [];
  if (names.length === 0) return;
  const known = new Set(says.known);
  const { file, pointer } = { file: node.reading.file, pointer: joinPointer(node.pointer, key) };
  for (const [index, name] of names.entries()) {
    if (known.has(name)) continue;
    const place = { file, pointer: joinPointer(pointer, index) };
    addFault(node, unknownName(place, { name, expected: says.expected, nearest: nearestName(name, says.known) }));
  }
}
