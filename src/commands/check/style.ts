/** The report's looks: paper and copper by day, slate and copper by night, black on white in print. */
export const STYLE = `
:root { color-scheme: light dark; --paper: #fbf7f0; --card: #fffdf9; --ink: #22303a; --soft: #5c6670;
  --rule: #d9d0c2; --copper: #9a4a1c; --band: #f0d9c6; --teal: #1d6570; --bad: #a11d2b; }
@media (prefers-color-scheme: dark) {
  :root { --paper: #14191d; --card: #1c2328; --ink: #ece7de; --soft: #a9b1b7; --rule: #3a444b;
    --copper: #eaa46e; --band: #4d3524; --teal: #7fc9cf; --bad: #ff9a9a; }
}
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1.5rem 1rem 3rem; max-width: 66rem; background: var(--paper);
  color: var(--ink); font: 1rem/1.5 system-ui, sans-serif; }
h1 { margin: 0; font-size: 1.7rem; line-height: 1.2; }
h2 { margin: 2.2rem 0 .6rem; padding-bottom: .2rem; border-bottom: 2px solid var(--copper);
  font-size: 1.2rem; }
p { margin: .4rem 0; max-width: 46rem; }
.soft, caption { color: var(--soft); }
.summary { margin: 1rem 0; padding: .7rem 1rem; border-left: 6px solid var(--copper);
  background: var(--card); font-size: 1.15rem; font-weight: 600; }
ol.findings { margin: 0; padding: 0; list-style: none; }
ol.findings li { margin: .7rem 0; padding: .7rem 1rem; border: 1px solid var(--rule);
  border-left: 6px solid var(--bad); border-radius: 4px; background: var(--card); break-inside: avoid; }
ol.findings li.watch { border-left: 6px dashed var(--soft); }
ol.findings h3 { margin: 0; font-size: 1.05rem; }
ol.findings p { max-width: none; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; font-variant-numeric: tabular-nums; font-size: .88rem; }
caption { padding: .2rem 0; text-align: left; font-size: .88rem; }
th, td { padding: .18rem .5rem; border-bottom: 1px solid var(--rule); text-align: right;
  font-weight: 400; white-space: nowrap; }
thead th, tbody th { color: var(--soft); } tbody th { text-align: left; }
td.verdict { text-align: left; white-space: normal; min-width: 11rem; color: var(--ink); }
.figures thead th:first-child, .figures thead th:last-child { text-align: left; }
.coupling { font-size: .8rem; } .coupling td { min-width: 1.9rem; padding: .15rem .25rem;
  border: 1px solid var(--rule); text-align: center; }
.coupling td.self { color: var(--soft); }
.coupling td.some, .coupling td.strong {
  background: color-mix(in srgb, var(--band) calc(var(--level) * 100%), transparent); }
.coupling td.strong { outline: 2px solid var(--bad); outline-offset: -2px; }
.coupling abbr { text-decoration: none; }
.plots { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 24rem), 1fr)); gap: .8rem; }
figure { margin: 0; padding: .5rem .6rem; border: 1px solid var(--rule); border-radius: 4px;
  background: var(--card); break-inside: avoid; }
figcaption { display: flex; flex-wrap: wrap; justify-content: space-between; gap: 0 1rem;
  font-size: .9rem; }
svg { display: block; width: 100%; height: auto; } .ratio-chart { max-width: 46rem; }
svg text { fill: var(--ink); font: 11px system-ui, sans-serif; } .ratio-chart text { font-size: 12px; }
svg .tick, svg .none { fill: var(--soft); } svg .bad { fill: var(--bad); font-weight: 600; }
.axis { stroke: var(--soft); } .readings { fill: var(--teal); }
.touch { fill: var(--band); } .touch-mark { fill: var(--copper); }
.rest { stroke: var(--ink); stroke-dasharray: 6 4; } .touched { stroke: var(--copper); stroke-dasharray: 1 4;
  stroke-linecap: round; stroke-width: 2; }
svg .touched-value, svg .five-value { fill: var(--copper); font-weight: 600; }
.bar { fill: var(--teal); } .bar.under { fill: none; stroke: var(--bad); stroke-width: 1.5; stroke-dasharray: 4 2; }
.cut { stroke: var(--card); stroke-width: 4; } .five { stroke: var(--copper); stroke-width: 2; stroke-dasharray: 6 3; }
.chart { padding: .6rem; border: 1px solid var(--rule); border-radius: 4px; background: var(--card); }
@media print {
  :root { color-scheme: light; --paper: #fff; --card: #fff; --ink: #000; --soft: #444; --rule: #bbb;
    --copper: #7a3a14; --band: #e8e0d8; --teal: #333; --bad: #000; }
  body { max-width: none; padding: 0; font-size: 10pt; } .scroll { overflow: visible; }
  .plots { grid-template-columns: 1fr 1fr; } h2 { break-after: avoid; }
  * { print-color-adjust: exact; }
}
`;
