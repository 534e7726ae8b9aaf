/** The library in one file, as its package ships it; its types are those of the package. */
declare module "mathjs/lib/browser/math.js" {
  const bundle: typeof import("mathjs");
  export default bundle;
}
