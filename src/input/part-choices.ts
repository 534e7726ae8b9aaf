import type { Construction, Drive, Feedback, Gearbox } from "../machine/catalogue.ts";

/** The closed lists of names a catalogue and a problem share. */
export const CONSTRUCTIONS: readonly Construction[] = ["slotted", "slotless", "closed-slot"];
export const FEEDBACKS: readonly Feedback[] = [
  "hall",
  "encoder-incremental",
  "encoder-hall",
  "encoder-absolute",
  "encoder-multiturn",
  "resolver",
];
export const GEARBOX_STYLES: readonly Gearbox["style"][] = ["inline", "right-angle"];
export const COMMUTATIONS: readonly Drive["commutation"][] = ["sinusoidal", "six-step"];
