"""How the page for a phone looks, and the few lines of script that keep its ticks.

Contrast and sizes follow the Web Content Accessibility Guidelines 2.2, level AA: letters 4.5:1
(1.4.3), edges of boxes 3:1 (1.4.11), targets of 24 by 24 pixels and more (2.5.8), no scrolling to
the side at 320 pixels (1.4.10), and nothing that covers what has the focus (2.4.11). A tick shows
in the box and in the line through the name, not by colour alone.
"""

LIGHT = {
    "page": "#FBFBF7",
    "band": "#DDE5E1",
    "ink": "#22303A",
    "quiet": "#4E5D65",
    "edge": "#5B6F68",
    "rule": "#B9C5C0",
}
"""Our shades by day; ``rule`` only parts lines and carries no meaning."""

DARK = {
    "page": "#151C20",
    "band": "#2A3835",
    "ink": "#EAEFED",
    "quiet": "#AEBBB6",
    "edge": "#94A8A0",
    "rule": "#3C4A47",
}
"""The same by night."""

PAPER = dict.fromkeys(("page", "band"), "#FFFFFF") | dict.fromkeys(
    ("ink", "quiet", "edge", "rule"), "#000000"
)
"""The same in print."""

STORED = "costing "
"""Begins the name under which a browser keeps the ticks of a list."""


def shades(of: dict[str, str]) -> str:
    """Shades as the properties of a style."""
    return "".join(f"--{name}: {shade}; " for name, shade in of.items()).strip()


STYLE = f"""
:root {{ color-scheme: light dark; {shades(LIGHT)} }}
@media (prefers-color-scheme: dark) {{ :root {{ {shades(DARK)} }} }}
@media print {{ :root {{ {shades(PAPER)} }} }}
* {{ box-sizing: border-box; }}
body {{
  margin: 0 auto; padding: 1rem; max-width: 40rem;
  background: var(--page); color: var(--ink);
  font: 1rem/1.45 system-ui, sans-serif; overflow-wrap: anywhere;
}}
h1 {{ margin: 0; font-size: 1.35rem; line-height: 1.25; }}
header p, footer p, .left-out {{ margin: .35rem 0 0; }}
.total {{ font-size: 1.1rem; font-weight: 600; }}
.shop {{
  display: flex; flex-wrap: wrap; justify-content: space-between; gap: 0 1rem;
  margin: 1.75rem -1rem 0; padding: .6rem 1rem;
  background: var(--band); font-size: 1.1rem;
}}
.shop span + span {{ margin-left: auto; }}
.day {{
  margin: 2.25rem 0 0; padding-bottom: .25rem; border-bottom: 2px solid var(--ink);
  font-size: 1.25rem;
}}
.day + section .shop {{ margin-top: .75rem; }}
.part {{ margin: 1.1rem 0 .2rem; color: var(--quiet); font-size: .95rem; font-weight: 600; }}
ul {{ margin: 0; padding: 0; list-style: none; }}
li {{ padding: .25rem 0 .7rem; border-bottom: 1px solid var(--rule); }}
label {{
  display: grid; grid-template-columns: auto 1fr auto; align-items: center; gap: 0 .8rem;
  min-height: 3rem; padding: .35rem 0; cursor: pointer;
}}
input {{
  appearance: none; width: 1.75rem; height: 1.75rem; margin: 0;
  border: 2px solid var(--edge); border-radius: .2rem; background: var(--page);
}}
input:checked {{
  background: linear-gradient(135deg, var(--page) 30%, var(--ink) 31% 69%, var(--page) 70%);
  border-color: var(--ink);
}}
input:focus-visible, button:focus-visible {{ outline: 3px solid var(--ink); outline-offset: 3px; }}
.name {{ display: block; font-weight: 600; }}
.packs {{ font-variant-numeric: tabular-nums; }}
.cost {{ text-align: right; font-variant-numeric: tabular-nums; }}
input:checked ~ .what .name {{ text-decoration: line-through; font-weight: 400; }}
dl {{ margin: 0 0 0 2.55rem; color: var(--quiet); font-size: .9rem; }}
dl div {{ margin-top: .1rem; }}
dt, dd {{ display: inline; margin: 0; }}
dt::after {{ content: ": "; }}
dd {{ white-space: pre-line; }}
footer {{ margin-top: 1.75rem; color: var(--quiet); font-size: .9rem; }}
button {{
  min-height: 3rem; margin-top: 1rem; padding: .5rem 1.25rem; cursor: pointer;
  border: 2px solid var(--edge); border-radius: .2rem;
  background: var(--page); color: var(--ink); font: inherit;
}}
@media (forced-colors: active) {{ input {{ appearance: auto; }} }}
@media print {{
  :root {{ font-size: 10pt; }}
  body {{ max-width: none; padding: 0; }}
  .shop {{ margin: 1rem 0 0; padding: .3rem 0; border-bottom: 2px solid var(--ink); }}
  .day, .shop, .part {{ break-after: avoid; }}
  li {{ break-inside: avoid; padding-bottom: .3rem; }}
  label {{ min-height: 0; }}
  input {{ width: 1.1rem; height: 1.1rem; print-color-adjust: exact; }}
  dl {{ margin-left: 1.9rem; }}
  dl div {{ display: inline; }}
  dl div + div::before {{ content: " · "; }}
  [role=status], button {{ display: none; }}
}}
"""

SCRIPT = f"""
(function () {{
  var boxes = Array.prototype.slice.call(document.querySelectorAll("input"));
  var told = document.getElementById("told"), clear = document.getElementById("clear");
  var place = "{STORED}" + document.body.dataset.list;
  function got() {{ return boxes.filter(function (box) {{ return box.checked; }}); }}
  function tell() {{ told.textContent = got().length + " of " + boxes.length + " got"; }}
  function keep() {{
    tell();
    try {{
      var ticked = got().map(function (box) {{ return box.value; }});
      localStorage.setItem(place, JSON.stringify(ticked));
    }} catch (fault) {{ /* the browser keeps nothing for this page */ }}
  }}
  try {{
    var kept = JSON.parse(localStorage.getItem(place)) || [];
    boxes.forEach(function (box) {{ box.checked = kept.indexOf(box.value) >= 0; }});
  }} catch (fault) {{ /* nothing is kept, or nothing that can be read */ }}
  boxes.forEach(function (box) {{ box.addEventListener("change", keep); }});
  clear.addEventListener("click", function () {{
    if (confirm("Take all ticks away?")) {{
      boxes.forEach(function (box) {{ box.checked = false; }});
      keep();
    }}
  }});
  told.hidden = clear.hidden = false;
  tell();
}})();
"""
