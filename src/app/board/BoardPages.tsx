import { useEffect, useState } from 'react';

interface BoardPagesProps {
  readonly svgs: readonly string[] | undefined;
  readonly isWorking: boolean;
}

/** The pages as they will be, each a picture. */
export function BoardPages({ svgs, isWorking }: BoardPagesProps) {
  const addresses = useAddresses(svgs);
  if (addresses.length === 0)
    return <div className="board-waiting">{isWorking || !svgs ? 'The board is being drawn.' : ''}</div>;
  return (
    <div className={isWorking ? 'board-pages board-pages-old' : 'board-pages'} aria-busy={isWorking}>
      {addresses.map((address, i) => (
        <img
          key={address}
          src={address}
          width={1200}
          height={1500}
          alt={`Page ${i + 1} of ${addresses.length} of the board`}
        />
      ))}
    </div>
  );
}

function useAddresses(svgs: readonly string[] | undefined): readonly string[] {
  const [addresses, setAddresses] = useState<readonly string[]>([]);
  useEffect(() => {
    const made = (svgs ?? []).map((svg) => URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' })));
    setAddresses(made);
    return () => {
      for (const address of made) URL.revokeObjectURL(address);
    };
  }, [svgs]);
  return addresses;
}
