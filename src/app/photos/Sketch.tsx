/** What a good photo looks like: the card flat beside the panels, camera square above, window light from one side. */
export function Sketch() {
  return (
    <svg className="photos-sketch" viewBox="0 0 640 330" role="img" aria-labelledby="photos-sketch-title">
      <title id="photos-sketch-title">
        A card lying flat between two rows of panels, all in one light, nothing mirrored, photographed from
        straight above
      </title>
      <rect x="14" y="14" width="612" height="302" rx="6" className="photos-sketch-frame" />
      {[40, 128].map((y) =>
        [44, 126].map((x) => (
          <rect key={`${x} ${y}`} x={x} y={y} width="66" height="74" className="photos-sketch-panel" />
        )),
      )}
      {[40, 128].map((y) =>
        [448, 530].map((x) => (
          <rect key={`${x} ${y}`} x={x} y={y} width="66" height="74" className="photos-sketch-panel" />
        )),
      )}
      <CardSketch />
      <g className="photos-sketch-line">
        <path d="M30 34V24h10M610 34V24h-10M30 296v10h10M610 296v10h-10" strokeWidth="3" />
        <path d="M320 216v32M304 232h32" />
        <circle cx="320" cy="232" r="24" />
      </g>
      <text x="320" y="286" textAnchor="middle" className="photos-sketch-words">
        the camera straight above all
      </text>
      <text x="118" y="234" textAnchor="middle" className="photos-sketch-words">
        panels flat
      </text>
      <text x="522" y="234" textAnchor="middle" className="photos-sketch-words">
        no lamp in them
      </text>
    </svg>
  );
}

const PATCHES = [
  [0.2, 0.35, 0.5, 0.65, 0.8, 0.95],
  [0.9, 0.6, 0.3, 0.75, 0.45, 0.15],
];

function CardSketch() {
  return (
    <g>
      <rect x="222" y="40" width="196" height="150" className="photos-sketch-card" />
      {[
        [232, 50],
        [386, 50],
        [232, 158],
        [386, 158],
      ].map(([x, y]) => (
        <g key={`${x} ${y}`}>
          <rect x={x} y={y} width="22" height="22" className="photos-sketch-mark" />
          <rect x={x + 7} y={y + 7} width="6" height="8" className="photos-sketch-card" />
        </g>
      ))}
      {PATCHES.map((row, r) =>
        row.map((strength, c) => (
          <rect
            key={strength}
            x={246 + 25 * c}
            y={90 + 27 * r}
            width="23"
            height="25"
            className="photos-sketch-mark"
            opacity={strength}
          />
        )),
      )}
    </g>
  );
}
