// Solves exported problems with a general-purpose solver (npm highs), one
// objective after the other, and compares with what the search found.
// How to run it: see README.md beside this file.
import fs from "node:fs";
import { createRequire } from "node:module";
const require = createRequire(process.cwd() + "/");
const highs = await require("highs")();

const [file, seconds = "60"] = process.argv.slice(2);
const problems = JSON.parse(fs.readFileSync(file));

// terms writes a linear expression; masses are counted in kilograms.
const terms = (list) => {
  const some = list.filter(([c]) => c !== 0);
  return some.length ? some.map(([c, v]) => `${c < 0 ? "-" : "+"} ${Math.abs(c)} ${v}`).join(" ") : "0 x0_0";
};

function build(p) {
  const cols = [];
  p.Items.forEach((it, i) => (it.Options ?? []).forEach((o, k) => {
    const col = (v, kg, hi, w) => cols.push({ i, o, it, v, kg, hi, w });
    const kg = it.Mass / 1000, whole = Math.floor(kg);
    if (it.Divisible && it.Mass > 1000) {
      col(`x${i}_${k}`, 1, whole, 1);
      if (whole !== kg) col(`w${i}_${k}`, kg, 1, whole);
    } else col(`x${i}_${k}`, kg, 1, 1);
  }));
  const rows = p.Limits.map((limit, n) => [terms(cols.map((c) => [c.o.Coef[n] * c.kg, c.v])), limit]);
  (p.Rooms ?? []).forEach((room, n) => rows.push([
    terms(cols.map((c) => [((c.o.Place === n) - (c.it.From === n)) * c.kg, c.v])), room / 1000]));
  p.Items.forEach((it, i) => {
    const mine = cols.filter((c) => c.i === i);
    const supply = it.Divisible && it.Mass > 1000 ? Math.floor(it.Mass / 1000) : 1;
    if (mine.length) rows.push([terms([...mine.map((c) => [c.w, c.v]), [-supply, `t${i}`]]), 0]);
  });
  return { cols, rows, items: p.Items.map((_, i) => i).filter((i) => cols.some((c) => c.i === i)) };
}

function solve(m, objective, more) {
  const text = ["Minimize", ` obj: ${terms(objective)}`, "Subject To",
    ...[...m.rows, ...more].map(([e, l], n) => ` r${n}: ${e} <= ${l}`), "Bounds",
    ...m.cols.map((c) => ` 0 <= ${c.v} <= ${c.hi}`), ...m.items.map((i) => ` 0 <= t${i} <= 1`),
    "General", ...m.cols.map((c) => ` ${c.v}`), ...m.items.map((i) => ` t${i}`), "End"].join("\n");
  return highs.solve(text, { time_limit: +seconds, mip_rel_gap: 0, mip_abs_gap: 1e-6,
    mip_feasibility_tolerance: 1e-9, primal_feasibility_tolerance: 1e-9 });
}

const quantile = (list, q) => list.toSorted((a, b) => a - b)[Math.min(list.length - 1, Math.floor(q * list.length))];
const times = [];
let same = 0, differ = 0, unfinished = 0, impossible = 0;
for (const { Problem: p, Result: r, Seed: seed } of problems) {
  const m = build(p), more = [], found = [];
  const start = performance.now();
  let status;
  for (const objective of [
    m.cols.filter((c) => c.o.Left).map((c) => [c.kg, c.v]),
    m.cols.filter((c) => !c.o.Left).map((c) => [c.kg, c.v]),
    m.items.map((i) => [1, `t${i}`]),
  ]) {
    const s = solve(m, objective, more);
    status = s.Status;
    if (status !== "Optimal") break;
    found.push(s.ObjectiveValue);
    more.push([terms(objective), s.ObjectiveValue + 1e-6]);
  }
  times.push(performance.now() - start);
  const ours = r.Found ? [r.Left / 1000, r.Moved / 1000, r.Touched] : [];
  const equal = status === "Optimal" ? r.Found && found.every((f, k) => Math.abs(f - ours[k]) < 1e-4)
    : status === "Infeasible" && found.length === 0 && !r.Found;
  if (status !== "Optimal" && status !== "Infeasible") unfinished++;
  else if (equal) same++;
  else differ++;
  if (status === "Infeasible") impossible++;
  if (!equal || !r.Proved) console.log(`problem ${seed}: ${status} ${found} in ${times.at(-1).toFixed(0)} ms; search ${ours} ${r.Proved ? "proved" : "not proved"}`);
}
console.log(`${problems.length} problems: ${same} the same, ${differ} different, ${unfinished} not finished by the solver, ${impossible} impossible`);
console.log(`solver: median ${quantile(times, 0.5).toFixed(1)} ms, 9 in 10 ${quantile(times, 0.9).toFixed(1)} ms, longest ${Math.max(...times).toFixed(0)} ms`);
