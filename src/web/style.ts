import { createHash } from 'node:crypto';

/**
 * The whole look, sent inside the page so that the first answer is readable at once. Written like a ward book: one
 * column, a margin for urgency and time, rules between entries, no boxes in boxes. Colour never says anything that
 * a word beside it does not say.
 */
const SHEET = `
:root{color-scheme:light dark;--ink:#1d2421;--paper:#fbfaf5;--sheet:#fff;--rule:#d6d2c4;--quiet:#59615c;--link:#0d4f5c;
--now:#9c1b12;--today:#7b4700;--mark:#ffe391;--markink:#1d2421;--press:#0d4f5c;--pressink:#fff;--good:#245a2c}
@media(prefers-color-scheme:dark){:root{--ink:#e8e6dd;--paper:#161a18;--sheet:#1d2320;--rule:#3a423d;--quiet:#a7b0aa;
--link:#86cfdd;--now:#ff9d92;--today:#f2bd6b;--mark:#6b5200;--markink:#fff3cf;--press:#86cfdd;--pressink:#0c1b1e;--good:#8fd19a}}
*{box-sizing:border-box}
html{font:112.5%/1.45 Charter,"Bitstream Charter","Noto Serif",Cambria,Georgia,serif;-webkit-text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink)}
a{color:var(--link)}
h1,h2,h3,nav,label,button,.btn,.tag,.meta,th,legend,summary,input,select,.foot{font-family:"Noto Sans",Roboto,"Segoe UI",Helvetica,Arial,sans-serif}
h1{font-size:1.6rem;line-height:1.15;margin:1rem 0 .5rem}
h2{font-size:1.15rem;margin:1.6rem 0 .4rem}
h2.line{margin:0;font-size:1rem;font-weight:400}
h3{font-size:1rem;margin:1.1rem 0 .3rem}
p{margin:.35rem 0}
.skip{position:absolute;inset-inline-start:-999rem}
.skip:focus{inset-inline-start:.5rem;top:.5rem;background:var(--sheet);padding:.5rem;z-index:2}
header.top{border-bottom:2px solid var(--ink);padding:.5rem max(.9rem,calc(50vw - 22.1rem))}
header.top .name{font-weight:700;font-size:1.1rem;text-decoration:none;color:var(--ink);font-family:inherit}
nav{display:flex;flex-wrap:wrap;gap:.1rem 1rem;align-items:center}
nav a{padding:.55rem 0;text-decoration:none}
nav a:hover{text-decoration:underline}
nav a[aria-current]{color:var(--ink);font-weight:700;text-decoration:underline;text-decoration-thickness:3px;text-underline-offset:.35rem}
nav .end{margin-inline-start:auto}
main{max-width:46rem;margin:0 auto;padding:0 .9rem 3rem}
main.wide{max-width:64rem}
.demo{background:var(--mark);color:var(--markink);padding:.35rem .9rem}
.demo a{color:inherit}
.said{border-inline-start:5px solid var(--good);padding:.5rem .8rem;background:var(--sheet);margin:.8rem 0}
.said.bad{border-color:var(--now)}
.quiet,.meta{color:var(--quiet)}
.meta{font-size:.85rem}
.entry{display:grid;grid-template-columns:1fr;gap:.15rem 1rem;padding:.9rem 0;border-top:1px solid var(--rule)}
.entry>.side{font-family:"Noto Sans",Roboto,"Segoe UI",Helvetica,Arial,sans-serif;font-size:.85rem}
@media(min-width:40rem){.entry{grid-template-columns:8.5rem 1fr}.entry>.side>*{display:block}}
.tag{font-weight:700;letter-spacing:.02em}
.tag.now{background:var(--now);color:var(--paper);padding:.1rem .45rem;display:inline-block}
.tag.today{color:var(--today);border:2px solid;padding:0 .4rem;display:inline-block}
.tag.soon{color:var(--ink)}
.late{color:var(--now);font-weight:700}
.who{font-weight:700;font-size:1.1rem}
blockquote{margin:.4rem 0;padding-inline-start:.8rem;border-inline-start:3px solid var(--rule);font-size:1.2rem;overflow-wrap:anywhere}
.words{white-space:pre-wrap;overflow-wrap:anywhere;unicode-bidi:plaintext}
mark{background:var(--mark);color:var(--markink);padding:0 .1em;font-weight:700;text-decoration:underline;text-underline-offset:.2em}
.do{font-weight:700}
.acts{display:flex;flex-wrap:wrap;gap:.5rem;margin-top:.5rem;align-items:center}
.acts form{display:contents}
button,.btn{font-size:1rem;min-height:2.75rem;padding:.4rem .9rem;border:2px solid var(--press);background:none;color:var(--link);border-radius:.2rem;cursor:pointer;text-decoration:none;display:inline-flex;align-items:center;gap:.4rem}
button.main,.btn.main{background:var(--press);color:var(--pressink);font-weight:700}
button:hover,.btn:hover{text-decoration:underline}
:focus-visible{outline:3px solid var(--link);outline-offset:2px}
input,select,textarea{font-size:1rem;min-height:2.75rem;padding:.35rem .5rem;border:1px solid var(--quiet);background:var(--sheet);color:var(--ink);border-radius:.2rem;max-width:100%;width:100%}
textarea{font-family:inherit;line-height:1.4}textarea.list,pre{font:.85rem/1.4 ui-monospace,"Noto Sans Mono",monospace}pre{overflow-x:auto}.address{overflow-wrap:anywhere;user-select:all}
input[type=checkbox],input[type=radio]{width:1.3rem;height:1.3rem;min-height:0;accent-color:var(--press);vertical-align:-.25rem}
label{display:block;margin:.7rem 0 .2rem;font-size:.95rem}
label.line{margin:.4rem 0}
.field{margin:.7rem 0}
.field .why{color:var(--now);font-weight:700;margin:.15rem 0}
.field[data-bad] input,.field[data-bad] select{border:2px solid var(--now)}
fieldset{border:0;border-top:1px solid var(--rule);margin:1rem 0 0;padding:.4rem 0}
legend{font-weight:700;padding-inline-end:.6rem}
details{border-top:1px solid var(--rule);margin-top:1rem}
summary{padding:.7rem 0;cursor:pointer;font-weight:700}
details fieldset{border:0;margin:0;padding-top:0}
.two{display:grid;gap:0 1rem}
@media(min-width:34rem){.two{grid-template-columns:1fr 1fr}}
.log{list-style:none;margin:0;padding:0}
.log>li{padding:.55rem 0;border-top:1px solid var(--rule)}
.log .in .words{font-size:1.1rem}
.log .out .words{color:var(--quiet)}
table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums}
th,td{text-align:start;padding:.35rem .6rem .35rem 0;border-top:1px solid var(--rule);vertical-align:top}
.scroll{overflow-x:auto}
dl{display:grid;grid-template-columns:auto 1fr;gap:.2rem 1rem;margin:.4rem 0}
dt{color:var(--quiet)}dd{margin:0}
.steps{counter-reset:s;list-style:none;padding:0;margin:.4rem 0}
.steps>li{padding:.35rem 0 .35rem 2.2rem;position:relative;counter-increment:s}
.steps>li::before{content:counter(s);position:absolute;inset-inline-start:0;font-weight:700;border:2px solid;border-radius:50%;width:1.6rem;height:1.6rem;text-align:center;line-height:1.4rem;font-size:.85rem;top:.4rem}
[dir=rtl] .steps>li{padding:.35rem 2.2rem .35rem 0}
.signs th{font-weight:400;vertical-align:middle}.signs td{padding-inline-end:0}.signs .pick{flex-wrap:nowrap;justify-content:flex-end}
.pick{display:flex;gap:.35rem;flex-wrap:wrap}
.pick label{margin:0;position:relative}
.pick input{position:absolute;opacity:0;width:100%;height:100%;margin:0;cursor:pointer}
.pick span{display:inline-block;min-width:2.9rem;min-height:2.75rem;line-height:2.5rem;text-align:center;border:1px solid var(--quiet);border-radius:.2rem;padding:0 .6rem}
.pick input:checked+span{background:var(--press);color:var(--pressink);font-weight:700;border-color:var(--press)}
.pick input:focus-visible+span{outline:3px solid var(--link);outline-offset:2px}
svg{direction:ltr;max-width:100%;height:auto;display:block}
svg text{fill:var(--ink);font:12px "Noto Sans",Roboto,"Segoe UI",Arial,sans-serif}
svg .q{fill:var(--quiet)}svg .ax{stroke:var(--rule);fill:none}svg .ln{stroke:var(--ink);fill:none;stroke-width:2}
svg .bar{fill:var(--press)}svg .gap{fill:none;stroke:var(--quiet);stroke-dasharray:3 3}svg .bad{fill:var(--now)}svg .aim{stroke:var(--today);stroke-width:2;stroke-dasharray:6 4;fill:none}
svg .two-tone{opacity:.95}svg .less{opacity:.55}svg .goal{stroke:var(--today);stroke-width:2;stroke-dasharray:4 2}svg .strong{font-weight:700;font-size:16px}svg path.bad{fill:none;stroke:var(--now);stroke-width:2}
figure{margin:.4rem 0}figcaption{font-size:.9rem;color:var(--quiet)}
svg .dot{fill:var(--press)}svg .ring{fill:var(--paper);stroke:var(--press);stroke-width:2}svg .path{fill:var(--rule);opacity:.6}
.foot{color:var(--quiet);font-size:.85rem;border-top:1px solid var(--rule);padding:.8rem max(.9rem,calc(50vw - 22.1rem)) 2rem}
.foot select{width:auto}.foot label{margin:0}
.hide{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
@media print{header.top nav,.acts,form,.foot,.demo{display:none}body{background:#fff;color:#000}a{color:#000;text-decoration:none}}
`;

export const STYLE = SHEET.replace(/\n\s*/g, '').trim();

/** Lets the browser apply the style and nothing else that claims to be one. */
export const STYLE_HASH = `'sha256-${createHash('sha256').update(STYLE).digest('base64')}'`;
