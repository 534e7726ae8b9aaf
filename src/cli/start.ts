// A first look in a moment: binding limits are searched for some seconds only. `fewframe solve` takes the time it takes.
// `npm start` and `npm start -- problems/x.json`: the same as `fewframe solve <problem> --out out`.
const given = process.argv.slice(2);
const named = given[0] !== undefined && !given[0].startsWith("-");
const problem = named ? given : ["problems/tray-transplanter.json", ...given];
process.argv.splice(2, given.length, "solve", "--out", "out", "--explain-time", "9", ...problem);
await import("./main.ts");
