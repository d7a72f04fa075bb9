/**
 * Scenes: made-up benches with a printed card and sprayed panels, as spectra, from which perfect readings and rendered
 * photos are taken. Written from physics and published tables alone: nothing here knows how the photos are measured.
 */

export { BACKGROUNDS, type BackgroundName } from './background.ts';
export { iccProfile, type ProfileName } from './icc-profile.ts';
export type { LightKind, SceneLight } from './lights.ts';
export { LIGHT_KINDS } from './lights.ts';
export type { Pose } from './pose.ts';
export { type SceneReadings, sceneReadings } from './readings.ts';
export { type RenderedScene, type RenderOptions, renderScene } from './render.ts';
export { randomScene, randomSceneUnderLights, type Scene, type SceneOptions } from './scene.ts';
export { type FileOptions, photoFile } from './write.ts';
