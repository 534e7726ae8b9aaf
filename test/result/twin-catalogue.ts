import { mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { ResultDocument } from "../../src/machine/result.ts";
import type { SolveFileOptions } from "../../src/machine/run.ts";
import { run, valueOf } from "./run-file.ts";

// Maker, parts and prices are invented.
const ABOUT = '{ "maker": "Twinmaker (invented)", "currency": "EUR", "note": "invented, for a test" }';

/** Two small motors and a large one. The price of S falls at the quantities that only both machines reach together. */
const MOTORS = `part,frame,construction,feedback,poles,stall_torque [N*m],rated_torque [N*m],rated_speed [rpm],peak_torque [N*m],max_speed [rpm],torque_constant [N*m/A],voltage_constant [V/krpm],resistance [ohm],inductance [mH],rotor_inertia [kg*cm^2],detent_torque [N*m],mass [kg],length [mm],width [mm],price [EUR],price_3 [EUR],price_5 [EUR]
S,F40,slotted,resolver,8,0.7,0.6,3000,2,5000,0.5,30.23,9,20,0.3,0.01,1,90,40,100,95,90
S-LEAN,F40,slotted,resolver,8,0.6,0.5,3000,1.5,5000,0.5,30.23,10,20,0.2,0.01,0.9,80,40,92,,
L,F80,slotted,resolver,8,5,4.5,3000,15,5000,1,60.46,2,12,6,0.05,5,170,80,300,,
`;
const DRIVES = `part,channels,continuous_current [A],peak_current [A],peak_time [s],bus_max [V],feedback,commutation,switching_frequency [kHz],fixed_loss [W],loss_per_amp [W/A],capacitance [uF],width [mm],price [EUR],price_7 [EUR]
D,1,6,18,3,850,resolver,sinusoidal,8,10,3,235,55,200,180
DD,2,6,18,3,850,resolver,sinusoidal,8,15,3,235,80,320,
`;
/** The resistor inside takes all that comes back; the supply that feeds back is dear. */
const SUPPLIES = `part,mains [V],phases,continuous_power [kW],peak_power [kW],capacitance [uF],chopper_voltage [V],min_resistance [ohm],internal_resistor_peak [W],internal_resistor_continuous [W],feeds_back,width [mm],price [EUR],price_5 [EUR]
P3,400,3,3,6,450,780,30,9000,900,no,70,370,350
PR3,400,3,3,6,450,,,,,yes,140,990,
`;

const SHEETS = { "motors.csv": MOTORS, "drives.csv": DRIVES, "supplies.csv": SUPPLIES };

/** Solves a problem with the catalogue in a temporary folder, `twinmaker`, after a change of each of its sheets. */
export async function solvedWithTwins(
  problem: unknown,
  change = (sheet: string): string => sheet,
  options: Partial<SolveFileOptions> = {},
): Promise<ResultDocument> {
  const folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  try {
    await mkdir(join(folder, "twinmaker"));
    await writeFile(join(folder, "twinmaker", "catalog.json"), ABOUT);
    for (const [name, sheet] of Object.entries(SHEETS)) {
      await writeFile(join(folder, "twinmaker", name), change(sheet));
    }
    const path = join(folder, "twins.json");
    await writeFile(path, JSON.stringify(problem));
    return valueOf(await run(path, options)).document;
  } finally {
    await rm(folder, { recursive: true });
  }
}

/** Turns a quarter in half a second, there and back. */
export function quarterTurns(id: string, inertia: string, needs: object = {}): unknown {
  const quarter = { time: "0.5 s" };
  return {
    id,
    mechanism: { kind: "rotary" },
    load: { inertia },
    motion: [{ move: "90 deg", ...quarter }, { dwell: "0.5 s" }, { move: "-90 deg", ...quarter }],
    needs: { inertia_ratio: null, ...needs },
  };
}
