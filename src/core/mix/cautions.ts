/** Said once, where the work begins. The product's own sheets and local rules come first. */
export interface Caution {
  readonly at: 'mixing' | 'spraying' | 'sanding';
  readonly message: string;
}

export const CAUTIONS: readonly Caution[] = [
  {
    at: 'mixing',
    message:
      'Solvents burn and their vapour harms: no flame or spark, fresh air, gloves, waste and rags in a closed metal bin.',
  },
  {
    at: 'spraying',
    message:
      'Two-part clear contains isocyanates: supplied-air respirator, skin and eyes covered, nobody unprotected near. Follow the product sheets and local rules; where they ask for licensed practice, leave it to those who have it.',
  },
  {
    at: 'sanding',
    message: 'Sanding dust harms the lungs: sand wet or with extraction, and wear a dust mask that fits.',
  },
];
