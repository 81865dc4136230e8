//! Small robots with signals for the pages.

/// The beginning of a robot whose parts all hang in one zone.
macro_rules! bench {
    ($($text:tt)*) => {
        concat!("format = 1\n[robot]\nname = \"Bench\"\n\n[[zone]]\nname = \"body\"\npath_mm = 100\n", $($text)*)
    };
}

/// A load for 12 V with a signal terminal: name, mean and peak current, role, direction, level, damage voltage.
macro_rules! talker {
    ($name:literal, $amperes:literal, $peak:literal, $role:literal, $direction:literal, $level:literal, $damage:literal) => {
        concat!(
            "\n[[type]]\nname = \"", $name, "\"\ntitle = \"", $name, "\"\ngroup = \"loads\"\nabout = \"A load.\"\n",
            "basis = \"Invented for this page.\"\nsize_mm = [30, 30]\nheight_mm = 20\nmass_g = 50\nnoise = \"audio\"\n",
            "fixing = { style = \"loose\" }\nterminal = [\n",
            "  { name = \"plus\", at_mm = [5, 5], height_mm = 5, exit = \"left\", fitting = \"screw-clamp\", wire_mm2 = [0.14, 6], room_for = 3, role = \"positive\" },\n",
            "  { name = \"minus\", at_mm = [5, 15], height_mm = 5, exit = \"left\", fitting = \"screw-clamp\", wire_mm2 = [0.14, 6], room_for = 3, role = \"return\" },\n",
            "  { name = \"ground\", node = \"minus\", at_mm = [25, 15], height_mm = 5, exit = \"right\", fitting = \"pin\", wire_mm2 = [0.14, 1], optional = true, role = \"signal-return\" },\n",
            "  { name = \"line\", at_mm = [25, 5], height_mm = 5, exit = \"right\", fitting = \"pin\", wire_mm2 = [0.14, 1], role = \"", $role,
            "\", signal = { direction = \"", $direction, "\", level_v = ", $level, ", damage_v = ", $damage, " } },\n]\n",
            "[[type.element]]\nkind = \"load\"\nplus = \"plus\"\nminus = \"minus\"\nlaw = \"current\"\nnominal_v = 12\nbrown_out_v = 9\n",
            "damage_v = 16\nusual = \"on\"\nactivities = [{ name = \"on\", mean_a = ", $amperes, ", peak_a = ", $peak, ", peak_time_s = 0.1 }]\n"
        )
    };
}

/// A part in the zone.
macro_rules! hung {
    ($name:literal, $kind:literal) => {
        hung!($name, $kind, "")
    };
    ($name:literal, $kind:literal, $more:literal) => {
        concat!(
            "\n[[part]]\nname = \"",
            $name,
            "\"\ntype = \"",
            $kind,
            "\"\nzone = \"body\"\n",
            $more,
            "\n"
        )
    };
}

/// A measured wire: name, from, to, mm², mm.
macro_rules! lead {
    ($name:literal, $from:literal, $to:literal, $mm2:literal, $mm:literal) => {
        concat!(
            "\n[[wire]]\nname = \"",
            $name,
            "\"\nfrom = \"",
            $from,
            "\"\nto = \"",
            $to,
            "\"\nsize_mm2 = ",
            $mm2,
            "\nlength_mm = ",
            $mm,
            "\n"
        )
    };
}

/// Two parts on one battery: their types, the wire between the two return terminals' first end and where the
/// sender's return goes, then further wires.
macro_rules! pair {
    ($sender:expr, $listener:expr, $return_to:literal, $($more:expr),* $(,)?) => {
        bench!(
            $sender,
            $listener,
            hung!("battery", "lead-agm-12v-12ah"),
            hung!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
            hung!("sender", "sender"),
            hung!("listener", "listener"),
            lead!("heart", "battery.plus", "fuse.in", "2.5", "100"),
            lead!("feed-listener", "fuse.out", "listener.plus", "2.5", "500"),
            lead!("feed-sender", "listener.plus", "sender.plus", "0.5", "300"),
            lead!("return-listener", "listener.minus", "battery.minus", "1.5", "1000"),
            lead!("return-sender", "sender.minus", $return_to, "0.5", "300"),
            lead!("line", "sender.line", "listener.line", "0.25", "300"),
            $($more,)*
            "\n[[situation]]\nname = \"on\"\nlasting = true\n"
        )
    };
}
