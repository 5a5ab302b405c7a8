(function () {
  var boxes = Array.prototype.slice.call(document.querySelectorAll("input"));
  var told = document.getElementById("told"), clear = document.getElementById("clear");
  var place = "costing " + document.body.dataset.list;
  function got() { return boxes.filter(function (box) { return box.checked; }); }
  function tell() { told.textContent = got().length + " of " + boxes.length + " got"; }
  function keep() {
    tell();
    try {
      var ticked = got().map(function (box) { return box.value; });
      localStorage.setItem(place, JSON.stringify(ticked));
    } catch (fault) { /* the browser keeps nothing for this page */ }
  }
  try {
    var kept = JSON.parse(localStorage.getItem(place)) || [];
    boxes.forEach(function (box) { box.checked = kept.indexOf(box.value) >= 0; });
  } catch (fault) { /* nothing is kept, or nothing that can be read */ }
  boxes.forEach(function (box) { box.addEventListener("change", keep); });
  clear.addEventListener("click", function () {
    if (confirm("Take all ticks away?")) {
      boxes.forEach(function (box) { box.checked = false; });
      keep();
    }
  });
  told.hidden = clear.hidden = false;
  tell();
})();
