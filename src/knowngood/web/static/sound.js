// A sound that carries over an idling engine. A browser lets a page sound only after the person has touched it.

const TONES_HZ = [880, 1175, 880, 1175];
const TONE_S = 0.28;
let context = null;

export const soundIsOn = () => context?.state === "running";

export async function turnSoundOn() {
  context ??= new AudioContext();
  await context.resume();
  play();
}

export function play() {
  if (!soundIsOn()) return;
  TONES_HZ.forEach((hertz, place) => {
    const [tone, volume, from] = [context.createOscillator(), context.createGain(), context.currentTime + place * TONE_S];
    tone.frequency.value = hertz;
    volume.gain.setValueAtTime(0.6, from);
    volume.gain.exponentialRampToValueAtTime(0.001, from + TONE_S);
    tone.connect(volume).connect(context.destination);
    tone.start(from);
    tone.stop(from + TONE_S);
  });
}
