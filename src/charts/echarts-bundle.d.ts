/** The library in one file, as its package ships it; its types are those of the package. */
declare module "echarts/dist/echarts.esm.min.mjs" {
  export * from "echarts";
}
