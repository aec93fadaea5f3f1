"""How the report looks: on a screen in light and dark, on paper in black on white.

Colours are named once a theme. Nothing is told by a colour alone: lines differ by their
dashes, marks by their shapes, and each has its word.
"""

from __future__ import annotations

_LIGHT = """
color-scheme: light; --paper: #fdfcfa; --card: #f4f1ec; --ink: #1f2225; --soft: #595e64;
--rule: #cfcac1; --grid: #e4e0d8; --band: #dfe9da; --curve: #8c2f12; --low: #2a5a7a;
--high: #74356b; --mark: #1f2225; --heat: #c8742f; --weld: #3a3f45; --peen: #a08c46;
--cool: #b9cbd8; --still: #ebe7df; --onheat: #1f1408; --onweld: #ffffff; --onpeen: #17140a;
--range: #6b7f92; --warn: #a4290f
"""
_DARK = """
color-scheme: dark; --paper: #17191b; --card: #212427; --ink: #e9e6e0; --soft: #a9a79f;
--rule: #474b4f; --grid: #2a2d30; --band: #24352a; --curve: #ff9c6e; --low: #7fb6dc;
--high: #dba2d2; --mark: #e9e6e0; --heat: #c8742f; --weld: #c9ced4; --peen: #b7a55a;
--cool: #3b5568; --still: #2b2e31; --onheat: #140c04; --onweld: #17191b; --onpeen: #17140a;
--range: #8fa6bb; --warn: #ff8a70
"""
_PAPER = _LIGHT.replace("--paper: #fdfcfa; --card: #f4f1ec", "--paper: #ffffff; --card: #ffffff")

STYLE = f"""
:root {{ {_LIGHT} }}
@media (prefers-color-scheme: dark) {{ :root {{ {_DARK} }} }}
@media print {{ :root {{ {_PAPER} }} }}
@page {{ size: portrait; margin: 13mm }}
* {{ box-sizing: border-box }}
body {{ font: 1rem/1.5 system-ui, sans-serif; color: var(--ink); background: var(--paper);
  max-width: 960px; margin: 0 auto; padding: 28px 24px 60px; overflow-wrap: anywhere;
  -webkit-text-size-adjust: 100%; text-size-adjust: 100% }}
h1 {{ font-size: 1.9rem; line-height: 1.15; margin: 0 0 6px; letter-spacing: -0.01em }}
h2 {{ font-size: 1.25rem; line-height: 1.25; margin: 44px 0 10px; padding-top: 12px;
  border-top: 2px solid var(--ink); break-after: avoid }}
h3 {{ font-size: 1rem; line-height: 1.3; margin: 20px 0 4px; break-after: avoid }}
p {{ margin: 6px 0 }} a {{ color: inherit }}
.lead, .source, figcaption, .quiet, caption {{ color: var(--soft) }}
.lead {{ margin: 0 }}
.source, .quiet, figcaption, caption {{ font-size: 0.86rem; line-height: 1.4 }}
.banner {{ border: 2px solid var(--ink); border-left-width: 10px; padding: 8px 14px;
  margin: 14px 0; font-weight: 600; background: var(--card) }}
.banner.hot {{ border-color: var(--warn) }}
nav ul {{ list-style: none; padding: 0; margin: 16px 0 0; display: flex; flex-wrap: wrap;
  gap: 2px 18px; font-size: 0.9rem }}
dl.glance {{ display: grid; grid-template-columns: repeat(auto-fit, minmax(110px, 1fr));
  gap: 1px; margin: 20px 0 0; padding: 1px }}
dl.glance div {{ box-shadow: 0 0 0 1px var(--rule); padding: 8px 12px; break-inside: avoid }}
dl.glance dt {{ font-size: 0.8rem; line-height: 1.3; color: var(--soft) }}
dl.glance dd {{ margin: 0; font-size: 1.1rem; line-height: 1.3; font-weight: 600;
  font-variant-numeric: tabular-nums }}
dl.glance small {{ display: block; font-size: 0.8rem; font-weight: 400; color: var(--soft) }}
.finding {{ border-top: 1px solid var(--rule); padding: 10px 0 8px 46px; position: relative;
  break-inside: avoid }}
.finding:first-of-type {{ border-top: 0 }}
.finding h3 {{ margin: 0 0 2px; font-size: 1.06rem }}
.finding .n {{ position: absolute; left: 0; top: 10px; min-width: 30px; text-align: center;
  border: 2px solid var(--ink); border-radius: 4px; font-weight: 700; line-height: 1.45;
  font-variant-numeric: tabular-nums }}
.finding h3 small {{ font-weight: 400; color: var(--soft); font-size: 0.86rem; margin-left: 6px }}
.finding .words {{ font-weight: 600 }}
.finding dl {{ display: grid; grid-template-columns: 7.2rem 1fr; gap: 2px 12px; margin: 4px 0 0;
  font-size: 0.92rem; line-height: 1.45 }}
.finding dl > div {{ display: contents }}
.finding dt {{ color: var(--soft) }} .finding dd {{ margin: 0 }}
figure {{ margin: 12px 0 18px; break-inside: avoid }}
figcaption {{ margin-top: 4px }}
.scroll {{ overflow-x: auto; margin: 10px 0 }} .short {{ break-inside: avoid }}
table {{ border-collapse: collapse; width: 100%; font-size: 0.9rem; line-height: 1.35;
  font-variant-numeric: tabular-nums }}
caption {{ text-align: left; padding: 0 0 4px }}
th, td {{ text-align: left; vertical-align: top; padding: 4px 12px 4px 0;
  border-bottom: 1px solid var(--rule) }}
thead th {{ font-weight: 600; border-bottom: 1.5px solid var(--ink); vertical-align: bottom;
  line-height: 1.2 }}
tbody th {{ font-weight: 400 }} th.r, td.r {{ text-align: right; padding-right: 24px; white-space: nowrap }}
.scroll tbody th {{ overflow-wrap: break-word }} tr {{ break-inside: avoid }} tbody tr:last-child > * {{ border-bottom: 0 }}
.facts tbody th {{ width: 32%; color: var(--soft) }}
#tables .even table {{ table-layout: fixed }} .even thead th {{ width: 8em; padding-right: 8px }}
.even thead th:first-child {{ width: 11em }} .even th {{ overflow-wrap: break-word }}
ul.told {{ margin: 6px 0; padding-left: 1.1em }} ul.told li {{ margin: 3px 0 }}
.times {{ color: var(--soft); font-variant-numeric: tabular-nums; padding-right: 0.8em;
  white-space: nowrap }}
.many {{ columns: 2; column-gap: 32px }} .many > .scroll {{ margin-top: 0 }}
.many table {{ font-size: 0.82rem }} .three td {{ white-space: nowrap; padding-right: 6px }} .many th.r, .many td.r {{ padding-right: 14px }}
.do {{ padding-left: 2em }} .do b {{ display: inline-block; width: 1.8em; margin-left: -1.8em }}
.decide, .not, .stop {{ border-left: 4px solid var(--ink); padding-left: 10px }}
.plan svg {{ background: white; padding: 6px; max-width: 100% }}
.plan pre {{ font-size: 0.75rem; overflow-x: auto }} .plan th {{ font-weight: 400; width: 32% }}
sup {{ font-size: 72%; line-height: 0 }}
@media (max-width: 640px) {{
  body {{ padding: 18px 14px 40px }} h1 {{ font-size: 1.5rem }}
  dl.glance {{ grid-template-columns: 1fr 1fr }}
  .finding dl {{ grid-template-columns: 1fr; gap: 0 }} .finding dd {{ margin-bottom: 4px }}
  th.r, td.r {{ padding-right: 12px }} th, td {{ padding-right: 8px }} .many {{ columns: 1 }} .facts tbody th, .plan th {{ width: 40% }}
}}
@media print {{
  :root {{ font-size: 9.2pt }}
  body {{ line-height: 1.35; padding: 0; max-width: none }} nav {{ display: none }}
  h1 {{ font-size: 19pt }} h2 {{ margin-top: 6mm; padding-top: 2mm }} h3 {{ margin-top: 3mm }}
  .scroll {{ overflow: visible; margin: 2mm 0 }} figure {{ margin: 1mm 0 3mm }}
  th, td {{ padding-top: 0.5mm; padding-bottom: 0.5mm }}
  .banner {{ border-width: 0.5mm; border-left-width: 3mm }}
  .many, .plan, .sources section, #cautions .told {{ columns: 2; column-gap: 7mm }}
  .many.three {{ columns: 3; column-gap: 6mm }} .sources h2 {{ column-span: all }}
  .many table, .plan, .plan table, .sources, #cautions {{ font-size: 0.84rem }}
  .many th.r, .many td.r {{ padding-right: 2.4mm }} .plan .source {{ font-size: inherit }}
}}
.chart {{ display: block; width: 100%; height: auto; overflow: visible;
  font-family: system-ui, sans-serif }}
.chart.narrow {{ display: none }}
@media screen and (max-width: 640px) {{
  .chart.wide {{ display: none }} .chart.narrow {{ display: block }}
}}
.chart * {{ print-color-adjust: exact; -webkit-print-color-adjust: exact }}
.chart text {{ fill: var(--ink); font-variant-numeric: tabular-nums }}
.chart .tick, .chart .lane {{ fill: var(--soft) }}
.chart .limit, .chart .lane {{ paint-order: stroke; stroke: var(--paper); stroke-width: 4px;
  stroke-linejoin: round }}
:where(.chart path) {{ fill: none }}
.grid {{ stroke: var(--grid); stroke-width: 1 }} .edge {{ stroke: var(--soft); stroke-width: 1 }}
.at {{ stroke: var(--soft); stroke-width: 1; stroke-dasharray: 1 3 }}
.band {{ fill: var(--band) }}
.low {{ stroke: var(--low); stroke-width: 1.6; stroke-dasharray: 9 5 }}
.high {{ stroke: var(--high); stroke-width: 1.6 }}
.gap, .unwatched {{ stroke: var(--soft); stroke-width: 0.8 }} .unwatched {{ stroke-width: 1.4 }}
.curve {{ stroke: var(--curve); stroke-width: 1.9; stroke-linejoin: round; stroke-linecap: round }}
.doubted {{ stroke: var(--curve); stroke-width: 1.6; stroke-dasharray: 0.1 4;
  stroke-linecap: round }}
.beside1, .beside2, .beside3 {{ stroke: var(--ink); stroke-width: 1.2; stroke-linejoin: round }}
.beside1 {{ stroke-dasharray: 8 4 }} .beside2 {{ stroke-dasharray: 3 3 }}
.beside3 {{ stroke-dasharray: 10 3 2 3 }}
.badge {{ fill: var(--paper); stroke: var(--ink); stroke-width: 1.6; rx: 4px }}
.chart .number {{ font-weight: 700 }}
.phase-heat {{ fill: var(--heat) }} .phase-weld {{ fill: var(--weld) }}
.phase-peen {{ fill: var(--peen) }} .phase-cool {{ fill: var(--cool) }}
.phase-still {{ fill: var(--still) }}
.chart .phase-heat-word {{ fill: var(--onheat) }} .chart .phase-weld-word {{ fill: var(--onweld) }}
.chart .phase-peen-word {{ fill: var(--onpeen) }}
.bead {{ fill: var(--weld) }}
.bead-lost, .bead-uncounted {{ fill: var(--paper); stroke: var(--weld); stroke-width: 1.6 }}
.bead-uncounted {{ stroke-dasharray: 2 2 }}
.bead-broken {{ fill: var(--weld); fill-opacity: 0.3; stroke: var(--weld); stroke-width: 1.6 }}
.bar-unsaid {{ fill: var(--paper); stroke: var(--peen); stroke-width: 1.4 }}
.bar-peen {{ fill: var(--peen) }} .bar-heat {{ fill: var(--heat) }}
.cross {{ stroke: var(--ink); stroke-width: 1.8 }}
.cue-warn {{ fill: var(--warn) }} .cue-fault {{ fill: var(--ink) }}
.typed {{ fill: var(--paper); stroke: var(--ink); stroke-width: 1.5 }}
.range {{ fill: var(--range); fill-opacity: 0.16 }}
.forecast0, .forecast1, .forecast2, .forecast3, .forecast4, .forecast5 {{ stroke: var(--low);
  stroke-width: 1.6 }}
.forecast0 {{ stroke-dasharray: 9 4 }} .forecast1 {{ stroke-dasharray: 3 3 }}
.forecast2 {{ stroke-dasharray: 12 3 2 3 }} .forecast3 {{ stroke-dasharray: 6 2 }}
.forecast4 {{ stroke-dasharray: 1 3 }} .forecast5 {{ stroke-dasharray: 14 6 }}
.made {{ fill: var(--paper); stroke: var(--low); stroke-width: 1.6 }}
.whisker {{ stroke: var(--low); stroke-width: 2 }} .likely {{ fill: var(--low) }}
.came {{ stroke: var(--curve); stroke-width: 2 }}
.many0, .many1, .many2, .many3, .many4, .many5 {{ stroke-width: 1.8; stroke-linejoin: round }}
.many0 {{ stroke: var(--curve) }} .many1 {{ stroke: var(--low); stroke-dasharray: 9 4 }}
.many2 {{ stroke: var(--high); stroke-dasharray: 3 3 }}
.many3 {{ stroke: var(--ink); stroke-dasharray: 12 3 2 3 }}
.many4 {{ stroke: var(--heat); stroke-dasharray: 6 2 }}
.many5 {{ stroke: var(--soft); stroke-dasharray: 1 3; stroke-linecap: round }}
"""
