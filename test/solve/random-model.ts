import type {
  Column,
  Condition,
  Envelope,
  Expression,
  Group,
  ModelPart,
  SelectionModel,
  SharedRow,
} from "../../src/model/selection.ts";
import { at } from "./brute-force.ts";

/** A small generator of pseudo-random numbers in [0, 1): mulberry32, public domain. */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

const origin = { kind: "test", id: "random" } as const;

/** A random small model with steps, channels, caps, conditional rows, envelopes and a group that supplies the others. */
export function randomModel(seed: number): SelectionModel {
  const random = randomFrom(seed);
  const whole = (below: number): number => Math.floor(random() * below);
  const groupCount = 2 + whole(3);
  const partCount = 3 + whole(5);
  const pools = Array.from({ length: 1 + whole(2) }, (_, index) => ({ id: `pool ${index}`, quantity: 1 + whole(3) }));
  const parts = Array.from({ length: partCount }, (_, index) => randomPart(index, random));
  const groups: Group[] = Array.from({ length: groupCount }, (_, g) => ({
    id: `group ${g}`,
    origin,
    pools: Array.from({ length: random() < 0.25 ? 2 : 1 }, () => whole(pools.length)),
    decideFirst: false,
    columns: Array.from({ length: 2 + whole(4) }, () => randomColumn(partCount, random)),
  }));
  const demand = groups.map(({ columns }) => Float64Array.from(columns, () => whole(20)));
  const supplies = [8, 16, 40, 80].slice(0, 2 + whole(3));
  groups.push({
    id: "supply",
    origin,
    pools: random() < 0.5 ? [0] : [],
    decideFirst: true,
    columns: supplies.map((size) => ({
      cost: 10 * size + whole(50),
      parts: [whole(partCount)],
      tie: { mass: 0, text: `supply ${size}` },
    })),
  });
  const supply = groups.length - 1;
  const expression = (): Expression => ({
    factors: new Map([
      ...demand.map((list, g): [number, Float64Array] => [g, list]),
      [supply, Float64Array.from(supplies, (size) => -size)],
    ]),
    modules: parts.flatMap(({ channels }, part) =>
      channels > 1 && random() < 0.7 ? [{ part, pool: whole(pools.length), factor: 1 + whole(4) }] : [],
    ),
    constant: whole(5),
  });
  const condition = (): Condition =>
    random() < 0.5 ? [] : [{ group: whole(groups.length), columns: new Set([0, 1].slice(0, 1 + whole(2))) }];
  const rows: SharedRow[] = [
    { id: "power", origin, expression: expression(), max: 0, when: [] },
    {
      id: "extra",
      origin,
      expression: expression(),
      max: 5 - whole(20),
      when: [...condition(), { group: supply, columns: new Set([0]) }],
    },
  ];
  const envelopes: Envelope[] = [
    {
      id: "energy",
      origin,
      cost: 1 + whole(5),
      rows: [
        { id: "a", expression: { ...expression(), constant: -10 }, when: condition() },
        {
          id: "b",
          expression: { factors: new Map([[0, at(demand, 0)]]), modules: [], constant: whole(10) - 8 },
          when: condition(),
        },
      ],
    },
  ];
  const caps = random() < 0.6 ? [{ id: "cap", origin, members: [0, 1, 2], max: 1 + whole(2) }] : [];
  rows.push(...rowsOfUse(groups, parts));
  return { groups, parts, pools, caps, rows, envelopes, unit: 1, rounding: 0 };
}

/** Rows on the use of the first two parts with a fixed charge: not both; and, implied, a part is used where it is picked. */
function rowsOfUse(groups: readonly Group[], parts: readonly ModelPart[]): SharedRow[] {
  const charged = parts.flatMap(({ fixed }, index) => (fixed > 0 ? [index] : [])).slice(0, 2);
  const picks = (part: number, factor: number): Map<number, Float64Array> =>
    new Map(
      groups.flatMap(({ pools, columns }, g) =>
        pools.length === 0
          ? []
          : [[g, Float64Array.from(columns, (column) => (column.parts.includes(part) ? factor : 0))] as const],
      ),
    );
  const implied = (id: string, part: number, { pick, use }: { pick: number; use: number }): SharedRow => ({
    id: `${id} ${part}`,
    origin,
    expression: { factors: picks(part, pick), modules: [], used: [{ part, factor: use }], constant: 0 },
    max: 0,
    when: [],
    isImplied: true,
  });
  const both = charged.map((part) => ({ part, factor: 1 }));
  return [
    {
      id: "not both",
      origin,
      expression: { factors: new Map(), modules: [], used: both, constant: 0 },
      max: 1,
      when: [],
    },
    ...charged.flatMap((part) => [
      implied("picked where used", part, { pick: -1, use: 1 }),
      implied("used where picked", part, { pick: 1, use: -groups.length }),
    ]),
  ];
}

function randomPart(index: number, random: () => number): ModelPart {
  const whole = (below: number): number => Math.floor(random() * below);
  const kind = whole(4);
  const price = 20 + whole(60);
  const dear = random() < 0.2 ? 10 : -8;
  const steps = [
    { from: 1, price },
    { from: 2 + whole(2), price: price + dear },
    { from: 5, price: price - 15 },
  ];
  return {
    id: `part ${index}`,
    origin,
    fixed: random() < 0.6 ? 10 * whole(10) : 0,
    steps: kind === 0 ? [] : steps.slice(0, kind),
    channels: random() < 0.3 ? 2 : 1,
    isPartNumber: random() < 0.7,
  };
}

function randomColumn(partCount: number, random: () => number): Column {
  const whole = (below: number): number => Math.floor(random() * below);
  const parts = new Set(Array.from({ length: 1 + whole(2) }, () => whole(partCount)));
  // Few distinct costs and texts, so that ties are common.
  return {
    cost: 10 * whole(12),
    parts: [...parts].toSorted((a, b) => a - b),
    tie: { mass: whole(3), text: `${at(["a", "b", "\uFF5E", "\u{1F600}"], whole(4))}${whole(3)}` },
  };
}

function bare<R extends { readonly expression: Expression }>(row: R): R {
  return { ...row, expression: { ...row.expression, modules: [] } };
}

/** The same with no modules in rows: local search leaves those to the exact check. */
export function withoutModules(model: SelectionModel): SelectionModel {
  const envelopes = model.envelopes.map((one) => ({ ...one, rows: one.rows.map(bare) }));
  return { ...model, rows: model.rows.map(bare), envelopes };
}
