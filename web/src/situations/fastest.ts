/** Where the slider of speeds ends, m/s: twice what the files say, no less than a fast walk, no more than the desk solves. */
export function fastest(speed: number): number {
  return Math.min(10, Math.max(2, Math.ceil(speed * 4) / 2));
}
