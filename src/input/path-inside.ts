import { isAbsolute, normalize, sep } from "node:path";

/** Whether a relative path stays inside the folder it starts from. */
export function isInside(path: string): boolean {
  const plain = normalize(path);
  return !isAbsolute(plain) && plain !== ".." && !plain.startsWith(`..${sep}`);
}
