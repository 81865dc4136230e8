// What page and program say to one another.
// Made by `cargo xtask types` from crates/desk/src/talk: change it there.

/** Millimetres in the board's frame: as seen looking at the front, x right, y up. */
export type Pt = [number, number];

/** Kinds of things in the files. */
export type SubjectKind = "robot" | "board" | "part" | "plug" | "wire" | "loom" | "cable" | "zone" | "pass" | "board-mount" | "keep-out" | "situation" | "day" | "type";

/**
 * Page to program.
 */
export type Ask = { "ask": "edit", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * The `rev` that the page saw.
 */
base: number, 
/**
 * What the step is called: `Move heart`.
 */
words: string, 
/**
 * The changes, in order; all or none.
 */
edits: Array<Edit>, } | { "ask": "try", 
/**
 * Number that the answer carries. A try that a later one overtakes is not answered.
 */
id: number, 
/**
 * The `rev` that the page saw.
 */
base: number, 
/**
 * The changes, in order.
 */
edits: Array<Edit>, } | { "ask": "let_go", 
/**
 * Number that the answer carries.
 */
id: number, } | { "ask": "undo", 
/**
 * Number that the answer carries.
 */
id: number, } | { "ask": "redo", 
/**
 * Number that the answer carries.
 */
id: number, } | { "ask": "remedy", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * The `rev` that the page saw.
 */
base: number, 
/**
 * Key of the finding.
 */
finding: string, 
/**
 * Which of its remedies, from 0.
 */
remedy: number, } | { "ask": "preview", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * The `rev` that the page saw.
 */
base: number, 
/**
 * Key of the finding.
 */
finding: string, 
/**
 * Which of its remedies, from 0.
 */
remedy: number, } | { "ask": "slide", 
/**
 * Number that the answer carries. A slide that a later one overtakes is not answered.
 */
id: number, 
/**
 * Name of the situation.
 */
situation: string, 
/**
 * Speed over ground; absent: as the files say.
 */
speed_m_s?: number, 
/**
 * State of charge of every battery, 0 to 100; absent: as the files say.
 */
charge_percent?: number, 
/**
 * Volume of every amplifier, 0 to 100; absent: as the files say.
 */
volume_percent?: number, } | { "ask": "tick", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * What it is: a cut, a step …
 */
list: TickList, 
/**
 * Which: its key in that list.
 */
name: string, 
/**
 * How it was when it was done: of a cut, its length.
 */
said: string, 
/**
 * It is done.
 */
on: boolean, } | { "ask": "fields", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * The thing.
 */
on: EditSubject, } | { "ask": "field", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * The `rev` that the page saw.
 */
base: number, 
/**
 * The thing.
 */
on: EditSubject, 
/**
 * The key, without unit.
 */
key: string, 
/**
 * What was typed.
 */
text: string, } | { "ask": "type_forms", 
/**
 * Number that the answer carries.
 */
id: number, } | { "ask": "draft_like", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * Name of the type.
 */
of: string, } | { "ask": "draft", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * The type as far as it was typed.
 */
draft: DraftType, } | { "ask": "make_type", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * The `rev` that the page saw.
 */
base: number, 
/**
 * The type.
 */
draft: DraftType, } | { "ask": "form", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * The kind.
 */
kind: SubjectKind, } | { "ask": "new", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * The `rev` that the page saw.
 */
base: number, 
/**
 * The thing; its name must be free.
 */
on: EditSubject, 
/**
 * Its keys.
 */
given: Array<Given>, } | { "ask": "library", 
/**
 * Number that the answer carries.
 */
id: number, } | { "ask": "rooms", 
/**
 * Number that the answer carries.
 */
id: number, } | { "ask": "take_out", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * The `rev` that the page saw.
 */
base: number, 
/**
 * The thing.
 */
on: EditSubject, 
/**
 * With the wires that end at it; otherwise it is refused when there are any.
 */
with_wires: boolean, } | { "ask": "twin", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * The `rev` that the page saw.
 */
base: number, 
/**
 * Name of the part that is there.
 */
of: string, 
/**
 * Name of the new one; it must be free.
 */
name: string, 
/**
 * Where it goes; absent: as the other (in a zone).
 */
at_mm?: [number, number], } | { "ask": "look", 
/**
 * Number that the answer carries.
 */
id: number, 
/**
 * The situation whose loads it shows.
 */
situation: string | null, 
/**
 * What it shows beside the board, the lists and the findings.
 */
beside: Array<BesideTheBoard>, } | { "ask": "hello", 
/**
 * The last `rev` that the page saw, when it was connected before.
 */
seen?: number, };

/**
 * What not every page shows.
 */
export type BesideTheBoard = "good_news" | "diagram" | "make";

/**
 * Program to page.
 */
export type Tell = { "tell": "study", 
/**
 * Counts up with every change of the files.
 */
rev: number, 
/**
 * The ask that this answers, when it was one of this page's.
 */
answers?: number, 
/**
 * What is shown is a try, and not what the files say.
 */
trying: boolean, 
/**
 * The deep tier is of this state; otherwise findings marked `deep` and some good news are older.
 */
deep: boolean, 
/**
 * Only the sections that changed. Filled in as text, as what follows: they are JSON already.
 */
sections: Partial<Sections>, 
/**
 * Of lists whose names and order are as told before: only the things that changed, to be put in the
 * place of those of the same name (findings: of the same key).
 */
changed?: Partial<Pick<Sections, "parts" | "plugs" | "wires" | "looms" | "findings">>, } | { "tell": "refused", 
/**
 * The ask.
 */
answers: number, 
/**
 * Why, a sentence for the builder.
 */
why: string, } | { "tell": "conflict", 
/**
 * The ask.
 */
answers: number, 
/**
 * Why, a sentence for the builder.
 */
why: string, 
/**
 * The `rev` of the files now.
 */
rev: number, } | { "tell": "rooms", 
/**
 * The ask.
 */
answers: number, 
/**
 * By the bends of wires in front of their terminals.
 */
bends: Array<RoomWanted>, 
/**
 * By tools and hands at screws, terminals, latches and what is used.
 */
reach: Array<RoomWanted>, } | { "tell": "previewed", 
/**
 * The ask.
 */
answers: number, 
/**
 * The finding goes and nothing as severe comes.
 */
works: boolean, 
/**
 * What comes of it, a sentence.
 */
outcome: string, 
/**
 * Titles of the findings that go.
 */
gone: Array<string>, 
/**
 * Titles of the findings that come.
 */
brings: Array<string>, 
/**
 * The lines that change.
 */
changes: Array<FileChange>, } | { "tell": "fields", 
/**
 * The ask.
 */
answers: number, 
/**
 * What such a thing is.
 */
about: string, 
/**
 * Its keys in the order of the format.
 */
fields: Array<FieldOn>, } | { "tell": "library", 
/**
 * The ask.
 */
answers: number, 
/**
 * The types, the robot's own first.
 */
types: Array<TypeOn>, } | { "tell": "type_forms", 
/**
 * The ask.
 */
answers: number, 
/**
 * All of it.
 */
forms: TypeForms, } | { "tell": "draft_like", 
/**
 * The ask.
 */
answers: number, 
/**
 * The draft; its name is still to be given.
 */
draft: DraftType, 
/**
 * What of the type a form cannot hold.
 */
left_out: Array<string>, } | { "tell": "drafted", 
/**
 * The ask.
 */
answers: number, 
/**
 * What can be drawn of it.
 */
drawn: DraftDrawn, 
/**
 * What is missing or wrong.
 */
wrong: Array<Wrong>, 
/**
 * The file it would be written into; empty while the name is none.
 */
file: string, 
/**
 * What would be written; empty until it is whole.
 */
text: string, } | { "tell": "wrong", 
/**
 * The ask.
 */
answers: number, 
/**
 * The fields.
 */
wrong: Array<Wrong>, } | { "tell": "broken", 
/**
 * The `rev` of that study.
 */
rev: number, 
/**
 * Every mistake in them.
 */
mistakes: Array<Mistake>, } | { "tell": "welcome", 
/**
 * It came over the network, by an address that is made for others.
 */
guest: boolean, 
/**
 * It may change the robot; otherwise it looks and ticks off.
 */
may_edit: boolean, 
/**
 * Addresses under which others may come; empty for a guest, and when there are none.
 */
phones: Array<PhoneOn>, 
/**
 * Who comes by them may change the robot too.
 */
phones_may_edit: boolean, } | { "tell": "ticks", 
/**
 * All of it.
 */
ticks: Array<Tick>, 
/**
 * Why nothing can be ticked, when it cannot.
 */
why?: string, } | { "tell": "kept", 
/**
 * The `rev` on disk.
 */
rev: number, 
/**
 * The step that undo takes back.
 */
undo: string | null, 
/**
 * The step that redo does again.
 */
redo: string | null, 
/**
 * The files hold what is shown.
 */
saved: boolean, 
/**
 * A word about saving or about the history, when there is one.
 */
why?: string, };

/**
 * Lines of a file that a change replaces.
 */
export type FileChange = { 
/**
 * File, relative to the robot's folder.
 */
file: string, 
/**
 * Lines as they are.
 */
before: Array<string>, 
/**
 * Lines as they would be.
 */
after: Array<string>, 
/**
 * Number of the first of them, from 1.
 */
line: number, };

/**
 * A key of a thing, and what stands there.
 */
export type FieldOn = { 
/**
 * The key without its unit; dotted, where it stands in a table.
 */
key: string, 
/**
 * What stands there, with its unit; empty: nothing.
 */
text: string, 
/**
 * What it looks like, in a few words; empty: any text.
 */
hint: string, 
/**
 * What it means, and what holds when nothing stands there.
 */
about: string, 
/**
 * Words that may stand there.
 */
words: Array<string>, 
/**
 * It is a list of points, and how each is written.
 */
corners: Corners | null, 
/**
 * Nothing but those words may.
 */
only_these: boolean, 
/**
 * It must be given.
 */
required: boolean, 
/**
 * It can be typed here; otherwise it is written in the files.
 */
editable: boolean, };

/**
 * How the points of a list are written.
 */
export type Corners = "plain" | "on_faces";

/**
 * A part type.
 */
export type TypeOn = { 
/**
 * Name.
 */
name: string, 
/**
 * Title.
 */
title: string, 
/**
 * Shelf it stands on.
 */
group: string, 
/**
 * What it is for.
 */
about: string, 
/**
 * Width, depth and height in words.
 */
size: string, 
/**
 * Footprint, mm, as seen looking at it.
 */
outline: Array<[number, number]>, 
/**
 * It is the robot's own.
 */
own: boolean, };

/**
 * An address under which others may come, and its code to be taken with a phone.
 */
export type PhoneOn = { 
/**
 * The address, with its key.
 */
address: string, 
/**
 * How many modules the code is wide, without the free edge of four that it needs.
 */
size: number, 
/**
 * Its dark modules as the `d` of an SVG path, one unit a module.
 */
path: string, };

/**
 * A part type as far as it was typed.
 */
export type DraftType = { 
/**
 * Its name; the file is called after it.
 */
name: string, 
/**
 * What a length without a unit is in.
 */
unit: Unit, 
/**
 * Form of its footprint.
 */
shape: Shape, 
/**
 * Sizes, mass, and the other keys of a type.
 */
values: Record<string, string>, 
/**
 * Corners of its footprint, when that is no rectangle or circle.
 */
corners: Array<Place>, 
/**
 * Single mounting holes.
 */
holes: Array<Place>, 
/**
 * Where wires land.
 */
terminals: Record<string, string>[], 
/**
 * What it does electrically: a `kind` and its keys.
 */
elements: Record<string, string>[], };

/**
 * A point as it was typed.
 */
export type Place = { 
/**
 * From the left.
 */
x: string, 
/**
 * From below.
 */
y: string, };

/**
 * Form of a footprint.
 */
export type Shape = "rectangle" | "round" | "corners";

/**
 * A field that wants something else, or anything.
 */
export type Wrong = { 
/**
 * Path of the field; empty: the type as a whole.
 */
field: string, 
/**
 * What is wrong with it, or what is wanted.
 */
why: string, 
/**
 * Nothing stands there yet.
 */
missing: boolean, };

/**
 * What can be drawn of a draft so far, mm, as seen looking at the part where it is mounted.
 */
export type DraftDrawn = { 
/**
 * Footprint; empty until it is known.
 */
outline: Array<[number, number]>, 
/**
 * Height above its mounting surface.
 */
height_mm: number | null, 
/**
 * Mounting holes.
 */
holes: Array<DraftHole>, 
/**
 * Where wires land.
 */
terminals: Array<DraftTerminal>, };

/**
 * A mounting hole of a draft.
 */
export type DraftHole = { 
/**
 * Its centre.
 */
at_mm: [number, number], 
/**
 * Its diameter, when known.
 */
diameter_mm: number | null, };

/**
 * A terminal of a draft.
 */
export type DraftTerminal = { 
/**
 * Its name.
 */
name: string, 
/**
 * Where it is.
 */
at_mm: [number, number], 
/**
 * Direction in which the wire leaves; absent: straight off the part.
 */
direction_deg: number | null, 
/**
 * Its role, when given.
 */
role: string, };

/**
 * A field of a form.
 */
export type FormField = { 
/**
 * Its key without a unit; dotted, where it stands in a table.
 */
key: string, 
/**
 * What it looks like, in a few words.
 */
hint: string, 
/**
 * What it means.
 */
about: string, 
/**
 * Words that may stand there.
 */
words: Array<string>, 
/**
 * Nothing but those words may.
 */
only_these: boolean, 
/**
 * It must be given.
 */
required: boolean, 
/**
 * It names one of the terminals.
 */
terminal: boolean, 
/**
 * It is a list of rows with these fields; empty: it is none.
 */
rows: Array<FormField>, };

/**
 * What a part can be, with what such a part begins with.
 */
export type TypeKind = { 
/**
 * Name of the choice.
 */
key: string, 
/**
 * What it is, for people.
 */
title: string, 
/**
 * What it begins with: names and roles, none of the sizes.
 */
begin: DraftType, };

/**
 * A model of what a part does electrically, with its fields.
 */
export type ElementForm = { 
/**
 * Its kind.
 */
kind: string, 
/**
 * What it is.
 */
about: string, 
/**
 * Its keys.
 */
fields: Array<FormField>, };

/**
 * Everything that a form for part types needs to know.
 */
export type TypeForms = { 
/**
 * What a part can be.
 */
kinds: Array<TypeKind>, 
/**
 * The models.
 */
elements: Array<ElementForm>, 
/**
 * Fields of a terminal besides its place.
 */
terminal: Array<FormField>, 
/**
 * Fields of a type that are seldom given.
 */
more: Array<FormField>, };

/**
 * A field of a thing as it was typed.
 */
export type Given = { 
/**
 * The key, without unit.
 */
key: string, 
/**
 * What was typed, with its unit.
 */
text: string, };

/**
 * Something in the files that cannot be read.
 */
export type Mistake = { 
/**
 * File, relative to the robot's folder.
 */
file: string, 
/**
 * Line, from 1; 0: the file as a whole.
 */
line: number, 
/**
 * Column in characters, from 1; 0: the file as a whole.
 */
column: number, 
/**
 * What is wrong, whole sentences.
 */
message: string, 
/**
 * What to write instead, when that is known.
 */
help?: string, };

/**
 * One change of the files.
 */
export type Edit = { "set": { 
/**
 * The thing.
 */
on: EditSubject, 
/**
 * The key.
 */
key: string, 
/**
 * Its value.
 */
value: EditValue, } } | { "unset": { 
/**
 * The thing.
 */
on: EditSubject, 
/**
 * The key.
 */
key: string, } } | { "add": { 
/**
 * The thing; its name must be free.
 */
on: EditSubject, 
/**
 * Its keys in order, without `name`.
 */
keys: Array<[string, EditValue]>, } } | { "remove": { 
/**
 * The thing.
 */
on: EditSubject, } };

/**
 * A named thing of the files.
 */
export type EditSubject = { 
/**
 * Its kind.
 */
kind: SubjectKind, 
/**
 * Its name; absent for `robot`, `board` and `day`.
 */
name?: string, };

/**
 * A value, with its unit in the name.
 */
export type EditValue = { "text": string } | { "number": number } | { "flag": boolean } | { "texts": Array<string> } | { "length_mm": number } | { "point_mm": [number, number] } | { "current_a": number } | { "angle_deg": number } | { "mm2": number } | { "awg": number };

/**
 * A side of the board.
 */
export type Face = "front" | "back";

/**
 * Side or sides that a region concerns.
 */
export type Sides = "front" | "back" | "both";

/**
 * How bad a finding is.
 */
export type Severity = "danger" | "fix" | "look" | "note";

/**
 * Unit that lengths are shown in.
 */
export type Unit = "mm" | "inch";

/**
 * Everything on show. In the program each section is JSON as soon as it is known; this type is for the
 * pages.
 */
export type Sections = { 
/**
 * The robot as a whole.
 */
robot: RobotOn, 
/**
 * The board; `None`: there is none yet.
 */
sheet: Sheet | null, 
/**
 * Parts on the board, both faces.
 */
parts: Array<PartOn>, 
/**
 * Plugs, fixed or on tails.
 */
plugs: Array<PlugOn>, 
/**
 * Wires.
 */
wires: Array<WireOn>, 
/**
 * Looms.
 */
looms: Array<LoomOn>, 
/**
 * What the builder must know, worst first.
 */
findings: Array<FindingOn>, 
/**
 * What is well, with its margin.
 */
good_news: Array<string>, 
/**
 * The situations.
 */
situations: Array<SituationOn>, 
/**
 * The robot in the situation that the page looks at.
 */
loads: LoadsOn, 
/**
 * Places off the board with the parts in them.
 */
zones: Array<ZoneOn>, 
/**
 * Parts off the board.
 */
off_board: Array<OffBoard>, 
/**
 * The power diagram; follows with the deep tier.
 */
diagram: DiagramOn, 
/**
 * The plots that can be asked for at `/picture`; they follow with the deep tier.
 */
plots: Array<PlotOn>, 
/**
 * How it is made; `None` until the first deep tier.
 */
make: MakeOn | null, };

/**
 * The robot as a whole.
 */
export type RobotOn = { 
/**
 * Its name.
 */
name: string, 
/**
 * Name of its folder.
 */
folder: string, 
/**
 * Unit that lengths are shown in.
 */
unit: Unit, 
/**
 * How many findings of each severity.
 */
counts: Counts, 
/**
 * Names of its cables.
 */
cables: Array<string>, 
/**
 * Names of its own part types.
 */
own_types: Array<string>, };

/**
 * How many findings of each severity.
 */
export type Counts = { danger: number, fix: number, look: number, note: number, };

/**
 * The board.
 */
export type Sheet = { 
/**
 * Outline.
 */
outline: Array<[number, number]>, 
/**
 * Thickness.
 */
thickness_mm: number, 
/**
 * Material.
 */
material: string, 
/**
 * Free depth in front of it.
 */
depth_front_mm: number, 
/**
 * Free depth behind it.
 */
depth_back_mm: number, 
/**
 * Openings.
 */
passes: Array<PassOn>, 
/**
 * Bolts that hold it in the body.
 */
mounts: Array<MountOn>, 
/**
 * Regions to stay out of.
 */
keep_outs: Array<KeepOutOn>, 
/**
 * Every hole.
 */
holes: Array<HoleOn>, };

/**
 * An opening that lets wires change face.
 */
export type PassOn = { 
/**
 * Name.
 */
name: string, 
/**
 * Outline; arcs as corners.
 */
outline: Array<[number, number]>, 
/**
 * Middle.
 */
at_mm: [number, number], 
/**
 * Share of it that wires fill.
 */
fill: number, 
/**
 * End to end, or diameter.
 */
length_mm: number, 
/**
 * Across; the same for a round one.
 */
width_mm: number, 
/**
 * Turn of its long axis.
 */
turn_deg: number, 
/**
 * Round, by diameter.
 */
round: boolean, };

/**
 * A bolt that holds the board in the body.
 */
export type MountOn = { 
/**
 * Name.
 */
name: string, 
/**
 * Middle.
 */
at_mm: [number, number], 
/**
 * Diameter of its hole.
 */
diameter_mm: number, 
/**
 * It can be moved: its place is in the robot's own files.
 */
movable: boolean, };

/**
 * A region to stay out of.
 */
export type KeepOutOn = { 
/**
 * Name.
 */
name: string, 
/**
 * Which face it concerns.
 */
face: Sides, 
/**
 * Outline.
 */
outline: Array<[number, number]>, 
/**
 * The corner that it is given by; `None`: it cannot be moved as a whole.
 */
at_mm: [number, number] | null, };

/**
 * A hole: a circle, swept from one end to the other.
 */
export type HoleOn = { 
/**
 * Name of what it belongs to.
 */
of: string, 
/**
 * One end.
 */
from_mm: [number, number], 
/**
 * The other; the same for a round hole.
 */
to_mm: [number, number], 
/**
 * Diameter.
 */
diameter_mm: number, };

/**
 * A part on the board.
 */
export type PartOn = { 
/**
 * Name.
 */
name: string, 
/**
 * Name of its type.
 */
kind: string, 
/**
 * Title of its type.
 */
title: string, 
/**
 * The face that carries it.
 */
face: Face, 
/**
 * Where its own origin lies: the key `at`.
 */
at_mm: [number, number], 
/**
 * Counter-clockwise, looking at its face: the key `turn`.
 */
turn_deg: number, 
/**
 * Footprint.
 */
outline: Array<[number, number]>, 
/**
 * Top above the face.
 */
height_mm: number, 
/**
 * It may be dragged.
 */
movable: boolean, 
/**
 * Where its wires land.
 */
terminals: Array<Terminal>, };

/**
 * A terminal on the board.
 */
export type Terminal = { 
/**
 * Name.
 */
name: string, 
/**
 * Where.
 */
at_mm: [number, number], 
/**
 * Which way its wire leaves, counter-clockwise from x; `None`: straight up.
 */
direction_deg: number | null, 
/**
 * What it is for.
 */
role: string, };

/**
 * A plug.
 */
export type PlugOn = { 
/**
 * Name.
 */
name: string, 
/**
 * Name of its family.
 */
family: string, 
/**
 * The face that carries it, or from which its tail leaves.
 */
face: Face, 
/**
 * The zone that it leads to.
 */
zone: string, 
/**
 * Where it is fixed, or where its tail leaves the board.
 */
at_mm: [number, number], 
/**
 * Which way it is turned, or its tail leaves.
 */
turn_deg: number, 
/**
 * Footprint; of one on a tail, drawn near the board.
 */
outline: Array<[number, number]>, 
/**
 * Its tail, drawn shortened; `None`: it is fixed.
 */
tail: Array<[number, number]> | null, 
/**
 * How many contacts each half has.
 */
contacts: number, 
/**
 * It can be moved: its place is in the robot's own files.
 */
movable: boolean, };

/**
 * A wire.
 */
export type WireOn = { 
/**
 * Name.
 */
name: string, 
/**
 * Where it begins: `heart.plus`.
 */
from: string, 
/**
 * Where it ends.
 */
to: string, 
/**
 * Its size in words.
 */
size: string, 
/**
 * Colour of its insulation, `#rrggbb`.
 */
colour: string, 
/**
 * Colour of its stripe.
 */
stripe: string | null, 
/**
 * Outside diameter.
 */
outside_mm: number, 
/**
 * Length to cut; 0: a lead that a part brings along; `None`: it finds no way.
 */
cut_mm: number | null, 
/**
 * Its way over the faces.
 */
legs: Array<Leg>, 
/**
 * The loom it runs in.
 */
loom: string | null, };

/**
 * A way over a face.
 */
export type Leg = { 
/**
 * Which face.
 */
face: Face, 
/**
 * Corners, where the straight stretches would meet.
 */
points: Array<[number, number]>, 
/**
 * Radius of the bend at each corner.
 */
radii_mm: Array<number>, };

/**
 * A loom.
 */
export type LoomOn = { 
/**
 * Name.
 */
name: string, 
/**
 * Its pieces.
 */
bodies: Array<LoomBodyOn>, 
/**
 * Where it is tied.
 */
ties: Array<TieOn>, };

/**
 * A piece of a loom.
 */
export type LoomBodyOn = { 
/**
 * Which face.
 */
face: Face, 
/**
 * Corners of its middle line.
 */
points: Array<[number, number]>, 
/**
 * Radius of the bend at each corner.
 */
radii_mm: Array<number>, 
/**
 * Diameter.
 */
diameter_mm: number, };

/**
 * A tie round a loom.
 */
export type TieOn = { 
/**
 * Which face.
 */
face: Face, 
/**
 * Where.
 */
at_mm: [number, number], 
/**
 * Which way the loom runs there.
 */
along_deg: number, 
/**
 * Diameter of the loom there.
 */
bundle_mm: number, };

/**
 * One thing the builder must know.
 */
export type FindingOn = { 
/**
 * Names it in this study: what `remedy` and `preview` ask by.
 */
key: string, 
/**
 * Name of its kind.
 */
slug: string, 
/**
 * How bad.
 */
severity: Severity, 
/**
 * Title of its kind.
 */
title: string, 
/**
 * What it is about, the main thing first.
 */
subjects: Array<SubjectOn>, 
/**
 * What happens and how much.
 */
what: string, 
/**
 * Why.
 */
why: string, 
/**
 * Standard, handbook or rule behind it.
 */
source: string, 
/**
 * Its numbers, unit in the name.
 */
values: Array<[string, number]>, 
/**
 * What they are held against.
 */
limits: Array<[string, number]>, 
/**
 * The situation it shows in.
 */
situation: string | null, 
/**
 * Where its tag goes.
 */
spot: SpotOn | null, 
/**
 * What is drawn where it happens.
 */
marks?: Array<MarkOn>, 
/**
 * What to do, best first.
 */
remedies: Array<RemedyOn>, 
/**
 * It belongs to the deep tier: older than the rest while the study is not `deep`.
 */
deep: boolean, };

/**
 * A named thing, and where it stands in the files.
 */
export type SubjectOn = { 
/**
 * Kind: `part`, `wire` …
 */
kind: string, 
/**
 * Name.
 */
name: string, 
/**
 * File.
 */
file?: string, 
/**
 * Line, from 1.
 */
line?: number, };

/**
 * A place on a face.
 */
export type SpotOn = { 
/**
 * Which face.
 */
face: Face, 
/**
 * Where.
 */
at_mm: [number, number], };

/**
 * Something to draw where a finding happens.
 */
export type MarkOn = { 
/**
 * On which face.
 */
face: Face, 
/**
 * Whether two things clash there, it is a place to be kept free, or a distance.
 */
kind: MarkKind, 
/**
 * Its outline; of a distance, the two ends.
 */
points: Array<[number, number]>, 
/**
 * What stands beside it; empty: nothing.
 */
words: string, };

/**
 * What a mark is.
 */
export type MarkKind = "clash" | "room" | "span";

/**
 * Room that a wire's bend, a tool or a hand wants, seen from above.
 */
export type RoomWanted = { 
/**
 * Name of the part, plug or bolt whose it is.
 */
of: string, 
/**
 * What is done there, and with what.
 */
words: string, 
/**
 * On which face.
 */
face: Face, 
/**
 * Where.
 */
at_mm: [number, number], 
/**
 * Outlines.
 */
outlines: Array<Array<[number, number]>>, 
/**
 * What stands in it, worst first; empty: it is free.
 */
by: Array<string>, };

/**
 * Something to do.
 */
export type RemedyOn = { 
/**
 * What, an imperative sentence.
 */
text: string, 
/**
 * The program can write it into the files.
 */
can_be_applied: boolean, 
/**
 * What it would change in the files: kind and name of a thing, and the key. Findings that ask for the
 * same are mended together.
 */
changes: Array<string>, 
/**
 * The size that it gives a wire.
 */
size?: WireSize, };

/**
 * A size for a wire: `mm2` or `awg`.
 */
export type WireSize = { 
/**
 * Name of the wire.
 */
wire: string, 
/**
 * Cross-section.
 */
mm2: number | null, 
/**
 * Gauge.
 */
awg: number | null, };

/**
 * A situation.
 */
export type SituationOn = { 
/**
 * Name.
 */
name: string, 
/**
 * What happens in it.
 */
note: string | null, 
/**
 * Speed over ground.
 */
speed_m_s: number, 
/**
 * State of charge of every battery, 0 to 100.
 */
charge_percent: number, 
/**
 * Volume of its loudest amplifier, 0 to 100: 100 is the loudest activity that its type states, 0 the
 * quietest, between them shares of what sound adds to its current. `None`: it has no amplifier.
 */
volume_percent: number | null, };

/**
 * The robot in one situation.
 */
export type LoadsOn = { 
/**
 * Name of the situation.
 */
situation: string, 
/**
 * Wires that something feeds.
 */
wires: Array<WireInSituation>, 
/**
 * Terminals that something feeds.
 */
terminals: Array<TerminalInSituation>, 
/**
 * Parts.
 */
parts: Array<PartInSituation>, };

/**
 * A wire in a situation.
 */
export type WireInSituation = { 
/**
 * Name.
 */
name: string, 
/**
 * Mean current, positive from its `from` to its `to`.
 */
current_a: number, 
/**
 * Mean voltage along it.
 */
drop_v: number, 
/**
 * Temperature of its conductor; `None`: hotter than the model holds.
 */
temperature_c: number | null, 
/**
 * What its insulation bears.
 */
limit_c: number | null, };

/**
 * A terminal in a situation.
 */
export type TerminalInSituation = { 
/**
 * `part.terminal` or `plug.half.contact`.
 */
name: string, 
/**
 * Against the negative pole of the battery that feeds it.
 */
voltage_v: number, };

/**
 * A part in a situation.
 */
export type PartInSituation = { 
/**
 * Name.
 */
name: string, 
/**
 * Electrical power it takes; negative when it gives.
 */
power_w: number, };

/**
 * A place off the board.
 */
export type ZoneOn = { 
/**
 * Name.
 */
name: string, 
/**
 * Names of the parts in it.
 */
parts: Array<string>, };

/**
 * A part off the board.
 */
export type OffBoard = { 
/**
 * Name.
 */
name: string, 
/**
 * Name of its type.
 */
kind: string, 
/**
 * Title of its type.
 */
title: string, 
/**
 * The zone it is in.
 */
zone: string, 
/**
 * Names of its terminals.
 */
terminals: Array<string>, };

/**
 * The power diagram as SVG, for each theme.
 */
export type DiagramOn = { 
/**
 * On paper; empty: not drawn yet.
 */
paper: string, 
/**
 * On slate; empty: not drawn yet.
 */
slate: string, };

/**
 * A plot that can be asked for.
 */
export type PlotOn = { 
/**
 * Its name in the address.
 */
name: string, 
/**
 * What it shows.
 */
title: string, };

/**
 * How it is made. Keys stay the same while other things come and go, so that ticks find them again.
 */
export type MakeOn = { 
/**
 * Paper that the book is set for.
 */
paper: string, 
/**
 * Which edges distances of holes are from, looking at the front.
 */
measured: string, 
/**
 * The order of work.
 */
steps: Array<StepOn>, 
/**
 * The drill plan, tool by tool.
 */
stages: Array<StageOn>, 
/**
 * Wires to cut, reel by reel.
 */
cuts: Array<CutOn>, 
/**
 * What holds each part.
 */
fasteners: Array<FastenerOn>, 
/**
 * What to buy.
 */
shopping: Array<ShopOn>, };

/**
 * A step of the order of work.
 */
export type StepOn = { 
/**
 * Names it.
 */
key: string, 
/**
 * From 1. Its picture is `step-` with this number.
 */
number: number, 
/**
 * Which part of the work it belongs to.
 */
group: string, 
/**
 * What is done, in a few words.
 */
heading: string, 
/**
 * What to do with the board first; empty: nothing.
 */
turn: string, 
/**
 * The face that is up.
 */
face: Face | null, 
/**
 * How, in sentences.
 */
words: Array<string>, 
/**
 * Parts and plugs that come.
 */
parts: Array<string>, 
/**
 * Wires that come.
 */
wires: Array<string>, 
/**
 * Tools.
 */
tools: Array<string>, 
/**
 * Hardware, with counts.
 */
hardware: Array<string>, 
/**
 * Torques, where they are stated.
 */
torques: Array<string>, 
/**
 * What to watch.
 */
watch: Array<string>, 
/**
 * What can hurt.
 */
cautions: Array<string>, 
/**
 * Stages of the drill plan that it is, by number.
 */
stages: Array<number>, };

/**
 * A wire to cut.
 */
export type CutOn = { 
/**
 * Name of the wire.
 */
wire: string, 
/**
 * Its reel, or the cable whose core it is.
 */
reel: string, 
/**
 * Colour of its insulation, `#rrggbb`.
 */
colour: string, 
/**
 * Length; 0: nothing to cut.
 */
cut_mm: number, 
/**
 * One end.
 */
from: EndOn, 
/**
 * The other.
 */
to: EndOn, 
/**
 * What to heed before cutting; empty: nothing.
 */
note: string, };

/**
 * An end of a wire.
 */
export type EndOn = { 
/**
 * Where it lands.
 */
at: string, 
/**
 * What is fitted.
 */
fit: string, 
/**
 * Insulation to strip.
 */
strip_mm: number, };

/**
 * One tool of the drill plan at work.
 */
export type StageOn = { 
/**
 * Names it.
 */
key: string, 
/**
 * From 1. Its picture is `drill-` with this number.
 */
number: number, 
/**
 * What is done.
 */
work: string, 
/**
 * With what.
 */
tool: string, 
/**
 * How the board lies.
 */
lies: string, 
/**
 * The board is turned over before it.
 */
turn_over: boolean, 
/**
 * Turns a minute to start at.
 */
rpm: [number, number] | null, 
/**
 * What lies under or behind the board; empty: nothing.
 */
backing: string, 
/**
 * The holes in order, those of one size together.
 */
stops: Array<string>, 
/**
 * How many places that is.
 */
count: number, 
/**
 * What to heed.
 */
cautions: Array<string>, };

/**
 * What holds a part: equal stacks together.
 */
export type FastenerOn = { 
/**
 * Names it.
 */
key: string, 
/**
 * What it holds.
 */
of: string, 
/**
 * Numbers of the holes; empty: stuck on.
 */
holes: Array<number>, 
/**
 * Pieces from the screw's head on.
 */
pieces: Array<string>, 
/**
 * From which face it is turned; empty: no screw.
 */
turned_from: string, 
/**
 * Standard lengths fit.
 */
fits: boolean, };

/**
 * Something to buy.
 */
export type ShopOn = { 
/**
 * Shelf of the shop.
 */
group: string, 
/**
 * The thing.
 */
item: string, 
/**
 * How much is needed.
 */
needed: number, 
/**
 * How much to buy.
 */
buy: number, 
/**
 * Of what: pieces, m, ft.
 */
unit: string, 
/**
 * Which spare was added, and where it is used.
 */
note: string, };

/**
 * A picture, as `/picture/THEME/NAME` gives it.
 */
export type Picture = { 
/**
 * SVG.
 */
svg: string, 
/**
 * What its numbers stand for, from 1.
 */
keys: Array<string>, };

/**
 * Something that is ticked off.
 */
export type Tick = { 
/**
 * Of which list.
 */
list: TickList, 
/**
 * Its key in that list.
 */
name: string, 
/**
 * How it was when it was ticked: of a cut, its length.
 */
said: string, };

/**
 * What is ticked off.
 */
export type TickList = "step" | "stage" | "cut" | "fastener" | "shopping";
