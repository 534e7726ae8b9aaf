/** What an invented order shall look like. The same wish gives the same files. */
export interface Wish {
  readonly seed: number;
  /** In all machines together. */
  readonly axes: number;
  /** In all catalogues together: motors, gearboxes, drives, supplies, resistors and inductors. */
  readonly parts: number;
  /** Different machines in the order; axes are shared out among them. */
  readonly machines: number;
  /** Of each machine. */
  readonly quantity: number;
  /** 1: rectified mains alone; 2: a regulated bus of 48 V beside it, for the small axes. */
  readonly buses: 1 | 2;
  /** Share of axes in stacks that carry one another. */
  readonly carried: number;
  /** Whether the cabinet has a largest width that keeps orders from the cheapest drives. */
  readonly isCabinetTight: boolean;
  /** Whether the largest supply on offer hardly suffices. */
  readonly isSupplyTight: boolean;
  /** Charges for distinct motors, frames, gearboxes, drives, makers and supplies. */
  readonly hasVariety: boolean;
  /** Caps on distinct motors and makers. */
  readonly hasCaps: boolean;
  /** Prices that fall from 10 and from 50 units on. */
  readonly hasPriceSteps: boolean;
}

export const USUAL_WISH: Wish = {
  seed: 1,
  axes: 8,
  parts: 1000,
  machines: 1,
  quantity: 2,
  buses: 1,
  carried: 0.5,
  isCabinetTight: false,
  isSupplyTight: false,
  hasVariety: true,
  hasCaps: true,
  hasPriceSteps: true,
};
