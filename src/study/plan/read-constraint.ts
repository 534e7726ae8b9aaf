import { nearestName } from "../../faults/nearest-name.ts";
import { unknownName, wrongDimension } from "../../faults/wordings.ts";
import { joinPointer } from "../../input/json-pointer.ts";
import { addFault, child, member, type Node, placeOf } from "../../input/node.ts";
import { splitQuantity } from "../../units/read-quantity.ts";
import type { Factor } from "./factor.ts";
import { inUnit } from "./read-factor.ts";
import type { Constraint, Term } from "./study.ts";

/** Reads a bound on a sum of factor values. */
export function readConstraint(node: Node, factors: readonly Factor[]): Constraint {
  const sum = child(node, "sum");
  const atMost = member(node, "at_most");
  const bound = typeof atMost === "string" ? splitQuantity(atMost) : undefined;
  const terms = Object.keys(sum.members).flatMap((id) => termOf(sum, id, { factors, unit: bound?.unit }));
  if (typeof atMost === "string" && bound === undefined) {
    addFault(
      node,
      wrongDimension(
        placeOf(node, "at_most"),
        JSON.stringify(atMost),
        'a number, or a value with its unit, such as "1.2 s"',
      ),
    );
  }
  const text = `${Object.entries(sum.members)
    .map(([id, by]) => `${String(by)} × ${id}`)
    .join(" + ")} at most ${String(atMost)}`;
  return { terms, atMost: bound?.number ?? Number(atMost), text };
}

interface Known {
  readonly factors: readonly Factor[];
  readonly unit: string | undefined;
}

function termOf(sum: Node, id: string, { factors, unit }: Known): readonly Term[] {
  const index = factors.findIndex((factor) => factor.id === id);
  const factor = factors[index];
  const ids = factors.map((one) => one.id);
  if (factor === undefined) {
    addFault(
      sum,
      unknownName(placeOf(sum, id), { name: id, expected: "the id of a factor", nearest: nearestName(id, ids) }),
    );
    return [];
  }
  const perUnit = unit === undefined ? 1 : inUnit(sum.reading.units, { number: 1, unit: factor.unit }, unit);
  const isNumeric = factor.scale.kind === "range" || factor.scale.levels.every(({ number }) => number !== undefined);
  if (perUnit === undefined || !isNumeric) {
    const place = { ...placeOf(sum, id), pointer: joinPointer(sum.pointer, id) };
    addFault(
      sum,
      wrongDimension(
        place,
        `factor "${id}" ${isNumeric ? `in ${factor.unit || "plain numbers"}` : "without numbers"}`,
        unit === undefined ? "a factor of numbers" : `a factor that can be given in ${unit}`,
      ),
    );
    return [];
  }
  return [{ factor: index, weight: Number(sum.members[id]) * perUnit }];
}
