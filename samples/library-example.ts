// Measures the panels in a photo and says how they differ. Run: npx tsx samples/library-example.ts
import { fileURLToPath } from 'node:url';
import { comparePanels, measurePhoto } from 'sprayout';
import { readCard, readPhoto } from 'sprayout/node';

const demo = (name: string): string => fileURLToPath(new URL(`demo/${name}`, import.meta.url));

const { raster } = await readPhoto(demo('sun-1.jpg'));
const { panels, colours, card } = measurePhoto(raster, {
  card: await readCard(demo('bench-card.card.json')),
});

console.log(`card read to within ${card.check.mean_de00.toFixed(1)} ΔE on average`);
for (const { id, lab, u95 } of panels)
  console.log(`${id}: ${lab.map((v, i) => `${v.toFixed(1)} ±${u95[i].toFixed(1)}`).join('  ')}`);

for (const { a, b, de00, interval95, words } of comparePanels(colours).pairs) {
  const [low, high] = interval95.map((v) => v.toFixed(1));
  console.log(`${a} against ${b}: ΔE ${de00.toFixed(1)} (${low}–${high}), ${words}`);
}
