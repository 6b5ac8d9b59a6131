// A drawn signature: what the pointer drew goes into a hidden field as polylines.
const pad = document.getElementById("pad");
const field = document.getElementById("strokes");
const pen = pad.getContext("2d");
pad.style.maxWidth = "100%";
pad.style.border = "1px dashed currentColor"; // not shown
pad.style.borderRadius = "6px";
pad.style.touchAction = "none";
let strokes = [];
let line = null;

const place = (event) => {
  const box = pad.getBoundingClientRect();
  return [
    Math.round(((event.clientX - box.left) / box.width) * pad.width),
    Math.round(((event.clientY - box.top) / box.height) * pad.height),
  ];
};

const show = () => {
  pen.clearRect(0, 0, pad.width, pad.height);
  pen.strokeStyle = getComputedStyle(pad).color;
  pen.lineWidth = 2.5;
  pen.lineCap = pen.lineJoin = "round";
  for (const one of strokes) {
    pen.beginPath();
    pen.moveTo(one[0], one[1]);
    for (let at = 2; at < one.length; at += 2) pen.lineTo(one[at], one[at + 1]);
    if (one.length === 2) pen.lineTo(one[0] + 0.1, one[1]);
    pen.stroke();
  }
  field.value = JSON.stringify(strokes);
};

pad.addEventListener("pointerdown", (event) => {
  pad.setPointerCapture(event.pointerId);
  line = place(event);
  strokes.push(line);
  show();
});
pad.addEventListener("pointermove", (event) => {
  if (!line) return;
  line.push(...place(event));
  show();
});
for (const end of ["pointerup", "pointercancel"]) pad.addEventListener(end, () => (line = null));
document.getElementById("wipe").addEventListener("click", () => {
  strokes = [];
  show();
});
