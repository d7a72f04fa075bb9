/** What is poured besides tints, by the name it has among them: no tint may be called so. */
export const CARRIER = 'carrier';
export const REDUCER = 'reducer';
export const NOT_TINTS: readonly string[] = [CARRIER, REDUCER];
