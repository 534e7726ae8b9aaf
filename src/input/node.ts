import type { Fault, Place } from "../faults/fault.ts";
import type { DefaultUsed } from "../machine/problem.ts";
import type { UnitReader } from "../units/load-units.ts";
import { joinPointer } from "./json-pointer.ts";
import type { LoadedTable } from "./loaded-table.ts";

/** What reading a document needs and collects. Faults and defaults are gathered here until the end. */
export interface Reading {
  readonly file: string;
  readonly units: UnitReader;
  /** Currency of the problem. */
  readonly currency: string;
  /** CSV files the problem names, by their plain paths from its folder. */
  readonly tables: ReadonlyMap<string, LoadedTable>;
  readonly faults: Fault[];
  readonly defaults: DefaultUsed[];
}

/**
 * An object of the document, with its place. The schema reports wrong shapes; reading goes on around them, so that one
 * run reports every fault: what has the wrong shape counts as absent here.
 */
export interface Node {
  readonly reading: Reading;
  readonly pointer: string;
  readonly members: Readonly<Record<string, unknown>>;
}

export function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** A member by its own key; what an object inherits is never reached. */
export function member(node: Node, key: string): unknown {
  return Object.hasOwn(node.members, key) ? node.members[key] : undefined;
}

export function has(node: Node, key: string): boolean {
  return member(node, key) !== undefined;
}

export function placeOf(node: Node, key: string): Place {
  return { file: node.reading.file, pointer: joinPointer(node.pointer, key) };
}

/** The object under a key; empty when absent. */
export function child(node: Node, key: string): Node {
  return nodeAt(node.reading, joinPointer(node.pointer, key), member(node, key));
}

/** The objects of the list under a key. */
export function children(node: Node, key: string): readonly Node[] {
  const list = member(node, key);
  const pointer = joinPointer(node.pointer, key);
  return Array.isArray(list) ? list.map((item, index) => nodeAt(node.reading, joinPointer(pointer, index), item)) : [];
}

export function nodeAt(reading: Reading, pointer: string, value: unknown): Node {
  return { reading, pointer, members: isObject(value) ? value : {} };
}

export function addFault(node: Node, fault: Fault): void {
  node.reading.faults.push(fault);
}

/** Records that a key was not given and what took its place. */
export function addDefault(node: Node, key: string, value: string): void {
  node.reading.defaults.push({ at: joinPointer(node.pointer, key), value, count: 1 });
}
