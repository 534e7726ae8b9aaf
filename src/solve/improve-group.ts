import { type Assignment, applyParts, moveInRows, partDelta } from "./assignment.ts";
import type { CoreRow } from "./core-row.ts";
import type { Domain } from "./domain.ts";

/** Moves a group to its best column given the others; true when that helped. */
export function improveGroup(assignment: Assignment, domain: Domain, group: number): boolean {
  const { core, price } = assignment;
  const before = assignment.pick[group]!;
  const columns = domain.alive[group]!;
  const first = core.offset[group]!;
  applyParts(assignment, before, -1);
  priceGroup(assignment, domain, group);
  let best = before;
  let least = price[before - first]!;
  const noise = 1e-9 * Math.max(1, Math.abs(least));
  for (let at = 0; at < columns.length; at += 1) {
    const one = price[columns[at]! - first]!;
    if (one < least - noise) {
      least = one;
      best = columns[at]!;
    }
  }
  applyParts(assignment, best, 1);
  if (best === before) return false;
  moveInRows(assignment, before, best);
  return true;
}

/** A group that may pick again, with the columns it may pick and the one it has (local). */
interface Choice {
  readonly group: number;
  readonly first: number;
  readonly columns: Int32Array;
  readonly before: number;
}

/**
 * Writes what each column left would add: its cost, its parts, the rows it breaks. Expects the group to have given up its
 * parts, but not its place in rows. Hot: row by row over all columns.
 */
function priceGroup(assignment: Assignment, domain: Domain, group: number): void {
  const { core, price, delta, rowSum, envelopes } = assignment;
  const first = core.offset[group]!;
  const choice: Choice = { group, first, columns: domain.alive[group]!, before: assignment.pick[group]! - first };
  noteDeltas(assignment, domain, group);
  for (const column of choice.columns) {
    let sum = core.cost[column]!;
    for (let at = core.linkStart[column]!; at < core.linkStart[column + 1]!; at += 1) sum += delta[core.linkOf[at]!]!;
    price[column - first] = sum;
  }
  envelopes.fill(0);
  let hasEnvelope = false;
  for (let index = 0; index < rowSum.length; index += 1) {
    const row = core.rows[index]!;
    const over = overOf(assignment, index, choice);
    if (over === -Infinity) continue;
    if (row.envelope < 0) addPenalties(assignment, row, { ...choice, over });
    else hasEnvelope = noteFloor(envelopes, row, group, over) || hasEnvelope;
  }
  if (hasEnvelope) addEnvelopes(assignment, choice);
}

/** By how much the other groups leave a row over; -Infinity where no column of the group can break it. Hot. */
function overOf(assignment: Assignment, index: number, choice: Choice): number {
  const row = assignment.core.rows[index]!;
  const sum = assignment.rowSum[index]!;
  if (row.isImplied || sum - row.max + row.reach <= 0) return -Infinity;
  const over = withoutGroup(sum, row, choice) - row.max;
  return over + row.most[choice.group]! > 0 && isMet(assignment, row, choice.group) ? over : -Infinity;
}

/** What a row comes to without the group's column. Hot. */
function withoutGroup(sum: number, { factors }: CoreRow, { group, before }: Choice): number {
  const own = factors[group];
  return own === undefined ? sum : sum - own[before]!;
}

/** Notes what each part would add. */
function noteDeltas(assignment: Assignment, domain: Domain, group: number): void {
  const { core, delta } = assignment;
  for (const link of core.groupLinks[group]!) {
    if (domain.linkCount[link]! > 0) delta[link] = partDelta(assignment, core.linkPart[link]!, group);
  }
}

/** Whether the row's condition holds for what the other groups have picked. Hot. */
function isMet({ core, pick }: Assignment, { marks }: CoreRow, group: number): boolean {
  for (let at = 0; at < marks.length; at += 1) {
    const mark = marks[at]!;
    if (mark.group !== group && mark.within[pick[mark.group]! - core.offset[mark.group]!] !== 1) return false;
  }
  return true;
}

/** Columns of the group for which the row counts; undefined: all. Hot. */
function marksFor({ marks }: CoreRow, group: number): Uint8Array | undefined {
  for (let at = 0; at < marks.length; at += 1) if (marks[at]!.group === group) return marks[at]!.within;
  return undefined;
}

/** A row that counts, and by how much the other groups leave it over. */
type Broken = Choice & { readonly over: number };

/** What breaking a row costs. Rows that neither hold the group's columns nor hang on them are the other groups' doing. */
function addPenalties(assignment: Assignment, row: CoreRow, { group, first, columns, over }: Broken): void {
  const { core, price } = assignment;
  const within = marksFor(row, group);
  const factors = row.factors[group];
  if (factors === undefined && within === undefined) return;
  const noise = 1e-9 * Math.max(1, Math.abs(row.max));
  for (let at = 0; at < columns.length; at += 1) {
    const local = columns[at]! - first;
    const excess = over + (factors === undefined ? 0 : factors[local]!);
    if (excess > noise && (within === undefined || within[local] === 1))
      price[local]! += core.penalty * (0.1 + excess / row.scale);
  }
}

/** Raises what an envelope comes to whatever the group picks; true. */
function noteFloor(envelopes: Float64Array, row: CoreRow, group: number, over: number): boolean {
  if (marksFor(row, group) === undefined)
    envelopes[row.envelope] = Math.max(envelopes[row.envelope]!, over + row.least[group]!);
  return true;
}

/** What the largest row of each envelope costs. Rows that can never be the largest are passed over. */
function addEnvelopes(assignment: Assignment, choice: Choice): void {
  const { core, price, term, envelopes } = assignment;
  const { first, columns } = choice;
  for (let envelope = 0; envelope < envelopes.length; envelope += 1) {
    for (let at = 0; at < columns.length; at += 1) term[columns[at]! - first] = envelopes[envelope]!;
    raiseTerms(assignment, choice, envelope);
    const { cost } = core.model.envelopes[envelope]!;
    for (let at = 0; at < columns.length; at += 1) price[columns[at]! - first]! += cost * term[columns[at]! - first]!;
  }
}

function raiseTerms(assignment: Assignment, choice: Choice, envelope: number): void {
  const { group, first, columns } = choice;
  const { core, term, rowSum, envelopes } = assignment;
  for (let index = 0; index < rowSum.length; index += 1) {
    const row = core.rows[index]!;
    if (row.envelope !== envelope) continue;
    const over = withoutGroup(rowSum[index]!, row, choice) - row.max;
    if (over + row.most[group]! <= envelopes[envelope]! || !isMet(assignment, row, group)) continue;
    const factors = row.factors[group];
    const within = marksFor(row, group);
    for (let at = 0; at < columns.length; at += 1) {
      const local = columns[at]! - first;
      const excess = over + (factors === undefined ? 0 : factors[local]!);
      if (excess > term[local]! && (within === undefined || within[local] === 1)) term[local] = excess;
    }
  }
}
