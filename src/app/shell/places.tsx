import { type ComponentType, lazy } from 'react';
import { BoardIcon, LightsIcon, MatchIcon, MixIcon, PhotosIcon } from '../ui/icons.tsx';
import type { Place } from './route.ts';

export interface PlaceEntry {
  readonly place: Place;
  readonly word: string;
  readonly Icon: ComponentType<{ readonly size?: number }>;
  readonly Screen: ComponentType;
}

/** The five places. A screen is loaded when it is first gone to. */
export const PLACE_TABLE: readonly PlaceEntry[] = [
  {
    place: 'photos',
    word: 'Photos',
    Icon: PhotosIcon,
    Screen: lazy(() => import('../photos/PhotosScreen.tsx')),
  },
  { place: 'match', word: 'Match', Icon: MatchIcon, Screen: lazy(() => import('../match/MatchScreen.tsx')) },
  { place: 'mix', word: 'Mix', Icon: MixIcon, Screen: lazy(() => import('../mix/MixScreen.tsx')) },
  {
    place: 'lights',
    word: 'Lights',
    Icon: LightsIcon,
    Screen: lazy(() => import('../lights/LightsScreen.tsx')),
  },
  { place: 'board', word: 'Board', Icon: BoardIcon, Screen: lazy(() => import('../board/BoardScreen.tsx')) },
];

export const JobsScreen = lazy(() => import('../jobs/JobsScreen.tsx'));
