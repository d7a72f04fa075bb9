/** The style of a board's web page: neutral greys, one typeface, the pictures largest. */
export const BOARD_STYLE = `
:root{color-scheme:light;--ink:#161616;--soft:#545454;--line:#c4c4c4;--page:#ececec;--sheet:#ffffff}
*{box-sizing:border-box;margin:0}
html{background:var(--page);color:var(--ink);font:400 17px/1.45 Inter,system-ui,sans-serif;-webkit-text-size-adjust:100%}
body{max-width:1160px;margin:0 auto;padding:clamp(20px,5vw,64px)}
header{display:flex;flex-wrap:wrap;justify-content:space-between;gap:4px 32px;margin-bottom:clamp(20px,4vw,40px)}
h1{font-size:1rem;font-weight:600;overflow-wrap:anywhere;min-width:0}
h2{font-size:clamp(1.5rem,4.2vw,2.6rem);font-weight:600;line-height:1.12;letter-spacing:-.012em;overflow-wrap:anywhere}
h2.long{font-size:clamp(1.15rem,2.4vw,1.5rem)}
h3{font-size:.8rem;font-weight:400;color:var(--soft);margin-bottom:10px}
p{overflow-wrap:anywhere}
.soft,figcaption,footer,caption{color:var(--soft);font-size:.83rem}
article{background:var(--sheet);padding:clamp(16px,3vw,36px);margin-bottom:clamp(20px,4vw,48px)}
.meeting{display:grid;grid-template-columns:1fr;aspect-ratio:1.5;max-height:82vh;width:100%}
.meeting.two{grid-template-columns:74fr 26fr}
.meeting>*{width:100%;height:100%;min-width:0;min-height:0;display:block;object-fit:cover}
figcaption{display:grid;grid-template-columns:1fr;gap:12px;padding:8px 0 0;overflow-wrap:anywhere}
figcaption.two{grid-template-columns:74fr 26fr;gap:0}
figcaption>*{padding-right:12px}
.said{margin:clamp(16px,2.4vw,28px) 0 clamp(20px,3vw,36px)}
.said p{max-width:44em;margin-top:8px;font-size:1.12rem}
.said strong{font-weight:600}
.facts{display:grid;grid-template-columns:repeat(auto-fit,minmax(230px,1fr));gap:28px clamp(24px,4vw,56px)}
.facts svg{display:block;width:100%}
.bar{height:34px}
.let{height:8px;margin:12px 0 6px}
.coats{height:96px;margin-bottom:10px}
ul{list-style:none;padding:0}
.parts{margin-top:10px}
.parts li{display:flex;align-items:baseline;gap:8px}
.parts svg{flex:none;width:11px;height:11px}
.colour{display:flex;gap:18px;margin-bottom:10px}
.colour svg{flex:none;width:96px;height:96px}
.notes{margin-top:24px;max-width:44em}
.notes *+*{margin-top:6px}
.grid{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,420px),1fr));gap:clamp(20px,3vw,40px)}
.grid article{margin:0}
.grid h2{font-size:1.4rem}
.grid h2.long{font-size:1.1rem}
.grid .said p{font-size:1rem}
.grid .facts{grid-template-columns:1fr}
section.ladder{background:var(--sheet);padding:clamp(16px,3vw,36px);margin:clamp(20px,4vw,48px) 0;overflow-x:auto}
table{border-collapse:separate;border-spacing:5px;margin:12px 0 0 -5px}
caption{text-align:left;padding:0 5px 8px}
th{font-weight:400;font-size:.8rem;color:var(--soft);text-align:left;padding:2px 6px;vertical-align:bottom}
td{min-width:64px;font-size:.85rem;vertical-align:top}
td svg{display:block;width:100%;height:44px}
td.best{outline:3px solid var(--ink);outline-offset:1px}
footer{display:flex;flex-wrap:wrap;gap:24px 40px;align-items:flex-start;margin-top:clamp(20px,4vw,48px)}
footer div{flex:1 1 420px}
footer p+p{margin-top:8px}
footer svg{width:150px;height:150px;flex:none;background:#ffffff}
@media print{html{background:#ffffff}body{max-width:none;padding:0}article,section.ladder{padding:0;break-inside:avoid}}
`.trim();
