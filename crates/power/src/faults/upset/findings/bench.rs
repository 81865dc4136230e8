//! Small robots with signals for the pages.

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

/// Two parts on one battery: their types, the wire between the two return terminals' first end and where the
/// sender's return goes, then further wires.
macro_rules! pair {
    ($sender:expr, $listener:expr, $return_to:literal, $($more:expr),* $(,)?) => {
        small_robot!(
            $sender,
            $listener,
            part!("battery", "lead-agm-12v-12ah"),
            part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-10a\" }"),
            part!("sender", "sender"),
            part!("listener", "listener"),
            wire!("heart", "battery.plus", "fuse.in", "2.5", "100"),
            wire!("feed-listener", "fuse.out", "listener.plus", "2.5", "500"),
            wire!("feed-sender", "listener.plus", "sender.plus", "0.5", "300"),
            wire!("return-listener", "listener.minus", "battery.minus", "1.5", "1000"),
            wire!("return-sender", "sender.minus", $return_to, "0.5", "300"),
            wire!("line", "sender.line", "listener.line", "0.25", "300"),
            $($more,)*
            "\n[[situation]]\nname = \"on\"\nlasting = true\n"
        )
    };
}
