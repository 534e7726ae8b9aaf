import { basename, join } from "node:path";
import type { JsonPlace } from "../faults/fault.ts";
import { duplicate, missing, unreadable, wrongForm } from "../faults/wordings.ts";
import type { Catalogue, PartKind } from "../machine/catalogue.ts";
import type { InputFile } from "../machine/problem.ts";
import { CATALOGUE_FILES } from "./catalogue-columns.ts";
import type { CatalogueReading } from "./catalogue-reading.ts";
import { joinPointer } from "./json-pointer.ts";
import { isObject } from "./node.ts";
import { type CatalogueFile, type PlacedPart, readCatalogueFile } from "./read-catalogue-file.ts";
import { readJson } from "./read-json.ts";

/** A catalogue folder: as the problem names it, where it lies, and the place that names it. */
export interface CatalogueFolder {
  readonly label: string;
  readonly path: string;
  readonly place: JsonPlace;
}

/** All folders together, with the files they were read from. */
export interface CataloguesRead {
  readonly catalogue: Catalogue;
  readonly makers: readonly string[];
  readonly inputs: readonly InputFile[];
}

type Files = { readonly [Kind in PartKind]: CatalogueFile<Catalogue[(typeof LISTS)[Kind]][number]> };

const LISTS = {
  motor: "motors",
  gearbox: "gearboxes",
  drive: "drives",
  supply: "supplies",
  resistor: "resistors",
  inductor: "inductors",
} as const satisfies Record<PartKind, keyof Catalogue>;

interface FolderRead {
  readonly maker: string;
  readonly input: InputFile;
  readonly files: Files;
}

/** Reads every folder, one after the other; motors and drives have to be in one of them. */
export async function readCatalogues(
  reading: CatalogueReading,
  folders: readonly CatalogueFolder[],
  currency: string,
): Promise<CataloguesRead> {
  const read: FolderRead[] = [];
  for (const folder of folders) {
    const one = await readFolder(reading, folder, currency);
    if (one !== undefined) read.push(one);
  }
  const catalogue = mergeFolders(read);
  if (read.length === folders.length) reportAbsentKinds(reading, folders, catalogue);
  reportDuplicateParts(reading, read);
  return { catalogue, makers: read.map(({ maker }) => maker), inputs: read.flatMap(inputsOf) };
}

async function readFolder(
  reading: CatalogueReading,
  folder: CatalogueFolder,
  currency: string,
): Promise<FolderRead | undefined> {
  const about = join(folder.path, "catalog.json");
  const json = await readJson(about);
  if (!json.ok) {
    const isAbsent = json.faults.some(({ code }) => code === "unreadable");
    const expected = "a catalogue folder with a catalog.json";
    reading.faults.push(
      ...(isAbsent ? [unreadable(folder.place, JSON.stringify(folder.label), expected)] : json.faults),
    );
    return undefined;
  }
  const { content, input } = json.value;
  const faults = reading.checkAbout(about, content);
  reading.faults.push(...faults);
  if (faults.length > 0 || !isObject(content)) return undefined;
  const own = String(content["currency"]);
  if (own !== currency && currency !== "") {
    const place = { file: about, pointer: "/currency" };
    reading.faults.push(wrongForm(place, JSON.stringify(own), `the problem's currency, "${currency}"`));
  }
  const maker = String(content["maker"]);
  const files = await readFiles(reading, folder, { maker, currency: own, columns: content["columns"], about });
  return { maker, input, files };
}

interface About {
  readonly maker: string;
  readonly currency: string;
  readonly columns: unknown;
  readonly about: string;
}

async function readFiles(reading: CatalogueReading, folder: CatalogueFolder, about: About): Promise<Files> {
  const read = <Kind extends PartKind>(kind: Kind): ReturnType<typeof readCatalogueFile<Kind>> => {
    const name = CATALOGUE_FILES[kind];
    const columns = isObject(about.columns) ? about.columns[name] : undefined;
    return readCatalogueFile(reading, {
      kind,
      maker: about.maker,
      currency: about.currency,
      file: join(folder.path, `${name}.csv`),
      label: `${basename(folder.path)}/${name}.csv`,
      mapping: isObject(columns) ? columns : {},
      mappingPlace: { file: about.about, pointer: joinPointer("/columns", name) },
    });
  };
  return {
    motor: await read("motor"),
    gearbox: await read("gearbox"),
    drive: await read("drive"),
    supply: await read("supply"),
    resistor: await read("resistor"),
    inductor: await read("inductor"),
  };
}

function mergeFolders(read: readonly FolderRead[]): Catalogue {
  const all = <Kind extends PartKind>(kind: Kind): Files[Kind]["parts"][number]["part"][] =>
    read.flatMap(({ files }) => files[kind].parts.map(({ part }) => part));
  return {
    motors: all("motor"),
    gearboxes: all("gearbox"),
    drives: all("drive"),
    supplies: all("supply"),
    resistors: all("resistor"),
    inductors: all("inductor"),
  };
}

function inputsOf({ input, files }: FolderRead): readonly InputFile[] {
  return [input, ...Object.values(files).flatMap((file) => file.input ?? [])];
}

function reportAbsentKinds(reading: CatalogueReading, folders: readonly CatalogueFolder[], catalogue: Catalogue): void {
  const [first] = folders;
  if (first === undefined) return;
  for (const kind of ["motor", "drive"] as const) {
    const name = `${CATALOGUE_FILES[kind]}.csv`;
    if (catalogue[LISTS[kind]].length > 0) continue;
    const place = { file: first.place.file, pointer: "/catalogs" };
    reading.faults.push(missing(place, `no ${LISTS[kind]} in any catalogue`, `a ${name} with parts in one of them`));
  }
}

/** A part is known by maker and part number together, whatever its kind and folder. */
function reportDuplicateParts(reading: CatalogueReading, read: readonly FolderRead[]): void {
  const seen = new Set<string>();
  for (const { maker, files } of read) {
    for (const { part, file, row } of Object.values(files).flatMap((f): readonly PlacedPart[] => f.parts)) {
      const key = JSON.stringify([maker, part.part]);
      const place = { file, row, column: "part" };
      if (part.part !== "" && seen.has(key)) {
        reading.faults.push(duplicate(place, JSON.stringify(part.part), `each part number of ${maker} once`));
      }
      seen.add(key);
    }
  }
}
