/** The looks of the comparison, on top of those of all reports. */
export const COMPARE_STYLE = `
body { max-width: 96rem; }
.summary { margin: .7rem 0; max-width: none; }
.sides { margin: 0; font-size: .95rem; } .sides th, .sides td { text-align: left; }
h2 { margin-top: 1.4rem; } h1 { font-size: 1.4rem; }
.tools { display: flex; flex-wrap: wrap; gap: .4rem; align-items: center; margin: .6rem 0; }
.tools button, .tools select { padding: .3rem .7rem; border: 1px solid var(--soft); border-radius: 4px;
  background: var(--card); color: var(--ink); font: inherit; }
.tools button:hover { border-color: var(--copper); }
:focus-visible { outline: 3px solid var(--copper); outline-offset: 1px; }
.tools output { margin-left: auto; font-variant-numeric: tabular-nums; }
#told { min-height: 1.5rem; margin: .3rem 0; max-width: none; } #told.found { font-weight: 600; }
.still .tools, .still #told { display: none; }
.view { overflow-x: auto; border: 1px solid var(--rule); border-radius: 4px; background: var(--card); }
.sheet { --px: 200px; --names: 9rem; width: calc(var(--names) + var(--held) * var(--px)); }
.group { display: flex; border-bottom: 2px solid var(--rule); }
.names { position: sticky; left: 0; z-index: 2; flex: none; width: var(--names);
  border-right: 2px solid var(--rule); background: var(--card); font-size: .8rem; }
.name { height: 22px; padding: 0 .5rem; overflow: hidden; line-height: 22px; white-space: nowrap;
  text-overflow: ellipsis; }
.name.pad { height: 20px; line-height: 20px; color: var(--soft); } .name.side { font-weight: 600; }
.time { position: relative; flex: none; width: calc(var(--held) * var(--px)); overflow: hidden;
  --first: calc(0px - var(--t0) * var(--px));
  background: repeating-linear-gradient(to right, var(--rule) var(--first) calc(var(--first) + 1px),
    transparent calc(var(--first) + 1px) calc(var(--first) + var(--px))); }
.ruler .time { height: 22px; background:
  repeating-linear-gradient(to right, var(--soft) var(--first) calc(var(--first) + 1px),
    transparent calc(var(--first) + 1px) calc(var(--first) + var(--px))) 0 0 / auto 22px repeat-x,
  repeating-linear-gradient(to right, var(--soft) var(--first) calc(var(--first) + 1px),
    transparent calc(var(--first) + 1px) calc(var(--first) + var(--px) / 10)) 0 17px / auto 5px repeat-x; }
.tick { position: absolute; top: 1px; left: calc((var(--t) - var(--t0)) * var(--px) + 4px);
  color: var(--soft); font-size: .78rem; white-space: nowrap; }
.tick[hidden] { display: none; }
.levels { position: relative; background: repeating-linear-gradient(to bottom,
  transparent 0 19px, var(--rule) 19px 20px); }
svg.chunk { position: absolute; top: 0; left: calc((var(--t) - var(--t0)) * var(--px));
  width: calc(var(--d) * var(--px)); height: 100%; }
.chunk path { fill: var(--teal); fill-opacity: .28; stroke: var(--teal); stroke-width: 1.3;
  stroke-linejoin: round; vector-effect: non-scaling-stroke; }
.threshold { position: absolute; left: 0; right: 0; height: 0; border-top: 1px dashed var(--soft);
  opacity: .6; }
.threshold.of-b { border-top-style: dotted; border-color: var(--copper); opacity: .9; }
.lane { position: relative; height: 22px; border-top: 1px solid var(--rule); }
.note, .gap { position: absolute; top: 1px; height: 19px;
  left: calc((var(--t) - var(--t0)) * var(--px)); width: max(3px, calc(var(--d) * var(--px) - 1px));
  box-sizing: border-box; overflow: hidden; padding: 0 3px; border: 1px solid var(--ink);
  border-left-width: 3px; border-radius: 2px; background: var(--card); color: var(--ink);
  font-size: .72rem; line-height: 17px; white-space: nowrap; }
.note.wanted { border: 1px dotted var(--soft); border-left: 3px solid var(--soft); color: var(--soft); }
.note.differs { cursor: pointer; }
.note.another { border: 2px solid var(--copper); border-left-width: 5px; background: var(--band);
  font-weight: 700; line-height: 15px; }
.note.only { background: repeating-linear-gradient(135deg, var(--band) 0 6px, var(--card) 6px 9px); }
.gap { border: 2px dashed var(--bad); background: none; color: var(--bad); font-weight: 700;
  line-height: 15px; cursor: pointer; }
.current { outline: 3px solid var(--ink); outline-offset: 0; }
.legend { display: flex; flex-wrap: wrap; gap: .2rem 1.2rem; margin: .4rem 0; padding: 0; list-style: none;
  font-size: .88rem; color: var(--soft); }
.legend b { color: var(--ink); }
.list { max-height: 28rem; overflow: auto; }
.list td, .list th { text-align: left; } .list td.words, .rules td.words { white-space: normal; }
.list tr.current { outline-offset: -3px; } .list a { color: var(--copper); }
.list tr[hidden] { display: none; }
.rules td, .rules th { text-align: left; } .rules .idle { color: var(--soft); }
@media (max-width: 40rem) { .sheet { --names: 6.5rem; } .name { padding: 0 .25rem; } }
@page { size: landscape; margin: 12mm; }
@media print {
  .tools, #told { display: none; }
  .view { overflow: hidden; } .list { max-height: none; overflow: visible; }
  .sheet { --px: calc((250mm - var(--names)) / var(--span)) !important; --t0: var(--from) !important;
    width: auto; }
  .time { width: calc(var(--span) * var(--px)); }
  .levels, .lane, .ruler .time { contain: size; } .names { position: relative; } .group { break-inside: avoid; }
}
`;
