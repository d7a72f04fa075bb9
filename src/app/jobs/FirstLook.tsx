import { PrintCard } from './PrintCard.tsx';

/** What the tool does, for who opens it first. */
export function FirstLook() {
  return (
    <>
      <ol className="jobs-way">
        <li>
          <h2>Photograph</h2>
          <p>Lay your sprayed panels beside the printed card and take a photo.</p>
        </li>
        <li>
          <h2>Compare</h2>
          <p>See how far each panel is from the colour you want, and which way.</p>
        </li>
        <li>
          <h2>Mix</h2>
          <p>Read what to add to the pot, how many coats, and over which ground.</p>
        </li>
      </ol>
      <PrintCard />
    </>
  );
}
