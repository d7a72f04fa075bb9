/** Nodes of the film's spectra, nm: 16 from 400 to 700, linear between, the end values held outside. */
export const NODES_NM: readonly number[] = Array.from({ length: 16 }, (_, i) => 400 + 20 * i);
export const NODES = NODES_NM.length;
