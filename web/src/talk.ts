// What the desk and its pages say to each other. Lengths in mm, angles in degrees, board frame:
// as seen looking at the front, x to the right, y up.

export type Pt = [number, number];
export type Face = "front" | "back";
export type Severity = "danger" | "fix" | "look" | "note";

export type SubjectKind =
  | "robot" | "board" | "part" | "plug" | "wire" | "loom" | "cable" | "zone" | "pass" | "board-mount"
  | "keep-out" | "situation" | "day" | "type";
export type EditSubject = { kind: SubjectKind; name?: string };
export type EditValue =
  | { text: string } | { number: number } | { flag: boolean } | { texts: string[] } | { length_mm: number }
  | { point_mm: Pt } | { current_a: number } | { angle_deg: number } | { mm2: number } | { awg: number };
export type Edit =
  | { set: { on: EditSubject; key: string; value: EditValue } }
  | { unset: { on: EditSubject; key: string } }
  | { add: { on: EditSubject; keys: [string, EditValue][] } }
  | { remove: { on: EditSubject } };

export type Ask =
  | { ask: "edit"; id: number; base: number; words: string; edits: Edit[] }
  | { ask: "try"; id: number; base: number; edits: Edit[] }
  | { ask: "let_go"; id: number }
  | { ask: "undo"; id: number }
  | { ask: "redo"; id: number }
  | { ask: "remedy"; id: number; base: number; finding: string; remedy: number }
  | { ask: "preview"; id: number; base: number; finding: string; remedy: number }
  | { ask: "hello"; seen?: number };

export type FileChange = { file: string; before: string[]; after: string[]; line: number };
export type Mistake = { file: string; line: number; column: number; message: string; help?: string };

export type Tell =
  | { tell: "study"; rev: number; answers?: number | null; trying: boolean; deep: boolean; sections: Partial<Sections> }
  | { tell: "refused"; answers: number; why: string }
  | { tell: "conflict"; answers: number; why: string; rev: number }
  | {
      tell: "previewed"; answers: number; works: boolean; outcome: string; gone: string[]; brings: string[];
      changes: FileChange[];
    }
  | { tell: "broken"; rev: number; mistakes: Mistake[] }
  | { tell: "kept"; rev: number; undo: string | null; redo: string | null; saved: boolean; why?: string | null };

export type Sheet = {
  outline: Pt[]; thickness_mm: number; material: string; depth_front_mm: number; depth_back_mm: number;
  passes: { name: string; outline: Pt[]; at_mm: Pt; fill: number }[];
  mounts: { name: string; at_mm: Pt; diameter_mm: number }[];
  keep_outs: { name: string; face: Face | "both"; outline: Pt[] }[];
  holes: { of: string; from_mm: Pt; to_mm: Pt; diameter_mm: number }[];
};
export type Terminal = { name: string; at_mm: Pt; direction_deg: number | null; role: string };
export type PartOn = {
  name: string; kind: string; title: string; face: Face; at_mm: Pt; turn_deg: number; outline: Pt[];
  height_mm: number; movable: boolean; terminals: Terminal[];
};
export type PlugOn = {
  name: string; family: string; face: Face; zone: string; at_mm: Pt; turn_deg: number; outline: Pt[];
  tail: Pt[] | null;
};
export type Leg = { face: Face; points: Pt[]; radii_mm: number[] };
export type WireOn = {
  name: string; from: string; to: string; size: string; colour: string; stripe: string | null;
  outside_mm: number; cut_mm: number | null; legs: Leg[]; loom: string | null;
};
export type LoomOn = {
  name: string;
  bodies: { face: Face; points: Pt[]; radii_mm: number[]; diameter_mm: number }[];
  ties: { face: Face; at_mm: Pt; along_deg: number; bundle_mm: number }[];
};
export type FindingOn = {
  key: string; slug: string; severity: Severity; title: string;
  subjects: { kind: string; name: string; file?: string | null; line?: number | null }[];
  what: string; why: string; source: string; values: [string, number][]; limits: [string, number][];
  situation: string | null; spot: { face: Face; at_mm: Pt } | null;
  remedies: { text: string; can_be_applied: boolean }[]; deep: boolean;
};
export type SituationOn = {
  name: string; note: string | null;
  wires: { name: string; current_a: number; drop_v: number; temperature_c: number | null; limit_c: number | null }[];
  terminals: { name: string; voltage_v: number }[];
  parts: { name: string; power_w: number }[];
};
export interface Sections {
  robot: {
    name: string; folder: string; unit: "mm" | "inch";
    counts: { danger: number; fix: number; look: number; note: number };
  };
  sheet: Sheet | null;
  parts: PartOn[];
  plugs: PlugOn[];
  wires: WireOn[];
  looms: LoomOn[];
  findings: FindingOn[];
  good_news: string[];
  situations: SituationOn[];
  zones: { name: string; parts: string[] }[];
  off_board: { name: string; kind: string; title: string; zone: string }[];
  diagram: { paper: string; slate: string };
}
