import type { Quantity } from "../units/quantity.ts";

/** Whether an axis's output moves along a line or turns. */
export type Travel = "linear" | "rotary";

type Aspect = "distance" | "speed" | "acceleration" | "jerk" | "mass" | "force" | "damping";

/** The dimension each aspect of an axis has when it travels so. */
export const TRAVEL_QUANTITIES: Readonly<Record<Travel, Readonly<Record<Aspect, Quantity>>>> = {
  linear: {
    distance: "length",
    speed: "speed",
    acceleration: "acceleration",
    jerk: "jerk",
    mass: "mass",
    force: "force",
    damping: "damping",
  },
  rotary: {
    distance: "angle",
    speed: "angular-speed",
    acceleration: "angular-acceleration",
    jerk: "angular-jerk",
    mass: "inertia",
    force: "torque",
    damping: "angular-damping",
  },
};
