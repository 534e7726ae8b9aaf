import type { AnyPart, Catalogue } from "../../src/machine/catalogue.ts";
import type { Caps, Machine, Weights } from "../../src/machine/problem.ts";
import type { RandomMachine } from "./random-machine.ts";

/** The order without one kind of row. */
type Without = (order: RandomMachine) => RandomMachine;

const withoutCap =
  (key: keyof Caps): Without =>
  ({ problem, catalogue }) => {
    const { [key]: _, ...caps } = problem.caps;
    return { catalogue, problem: { ...problem, caps } };
  };

const weighed =
  (change: (weights: Weights) => Partial<Weights>): Without =>
  ({ problem, catalogue }) => ({
    catalogue,
    problem: { ...problem, weights: { ...problem.weights, ...change(problem.weights) } },
  });

const machines =
  (change: (machine: Machine) => Machine): Without =>
  ({ problem, catalogue }) => ({ catalogue, problem: { ...problem, machines: problem.machines.map(change) } });

const catalogued =
  (change: (catalogue: Catalogue) => Partial<Catalogue>): Without =>
  ({ problem, catalogue }) => ({ problem, catalogue: { ...catalogue, ...change(catalogue) } });

const everyPart = (change: <T extends AnyPart>(part: T) => T): Without =>
  catalogued((all) => ({
    motors: all.motors.map(change),
    gearboxes: all.gearboxes.map(change),
    drives: all.drives.map(change),
    inductors: all.inductors.map(change),
    supplies: all.supplies.map(change),
    resistors: all.resistors.map(change),
  }));

/** Every kind of row of the selection model, with the order as it would be without. */
export const ROW_KINDS = {
  "price steps": everyPart((part) => ({ ...part, prices: part.prices.slice(0, 1) })),
  quantities: machines((machine) => ({ ...machine, quantity: 1 })),
  "shared modules": catalogued(({ drives }) => ({ drives: drives.map((drive) => ({ ...drive, channels: 1 })) })),
  "second bus": machines((machine) => ({
    ...machine,
    buses: machine.buses.slice(0, 1),
    axes: machine.axes.map((axis) => ({ ...axis, bus: machine.buses[0]?.id ?? "" })),
  })),
  "part charges": weighed(({ variety }) => ({ variety: { ...variety, motor: 0, gearbox: 0, drive: 0, supply: 0 } })),
  "frame charge": weighed(({ variety }) => ({ variety: { ...variety, frame: 0 } })),
  "maker charge": weighed(({ variety }) => ({ variety: { ...variety, maker: 0 } })),
  energy: weighed(({ energy }) => ({ energy: { ...energy, price: 0 } })),
  "mass weight": weighed(() => ({ mass: 0 })),
  "width weight": weighed(() => ({ cabinetWidth: 0 })),
  "lead time weight": weighed(() => ({ leadTime: 0 })),
  "same pick": machines((machine) => ({ ...machine, samePick: [] })),
  "carried mass": machines((machine) => ({
    ...machine,
    axes: machine.axes.map(({ carriedBy: _carrier, ...axis }) => axis),
  })),
  forbidden: ({ problem, catalogue }: RandomMachine) => ({
    catalogue,
    problem: { ...problem, forbid: { parts: [], makers: [] } },
  }),
  "supply power": catalogued(({ supplies }) => ({
    supplies: supplies.map((supply) => ({
      ...supply,
      peakPower: 1e3 * supply.peakPower,
      continuousPower: 1e3 * supply.continuousPower,
    })),
  })),
  "motor cap": withoutCap("motors"),
  "gearbox cap": withoutCap("gearboxes"),
  "drive cap": withoutCap("drives"),
  "frame cap": withoutCap("frames"),
  "maker cap": withoutCap("makers"),
  "part cap": withoutCap("parts"),
  "mass cap": withoutCap("mass"),
  "width cap": withoutCap("cabinetWidth"),
  "price cap": withoutCap("price"),
  "lead time cap": withoutCap("leadTime"),
} as const satisfies Readonly<Record<string, Without>>;

export type RowKind = keyof typeof ROW_KINDS;

const textOf = ({ problem, catalogue }: RandomMachine): string => JSON.stringify([problem, catalogue]);

/** Kinds of rows that an order has, each with the order without it. */
export function rowKindsOf(order: RandomMachine): { readonly kind: RowKind; readonly without: RandomMachine }[] {
  const kinds = Object.keys(ROW_KINDS).filter((name): name is RowKind => name in ROW_KINDS);
  return kinds.flatMap((kind) => {
    const without = ROW_KINDS[kind](order);
    return textOf(without) === textOf(order) ? [] : [{ kind, without }];
  });
}
