//! Small robots for the pages of all rooms: a few parts in one zone, wired on the bench.

/// The text of a robot whose parts all hang in the zone `body`.
macro_rules! small_robot {
    ($($text:tt)*) => {
        concat!("format = 1\n[robot]\nname = \"Bench\"\n\n[[zone]]\nname = \"body\"\npath_mm = 100\n", $($text)*)
    };
}

/// A part in the zone, with further lines if need be.
macro_rules! part {
    ($name:literal, $kind:literal) => {
        part!($name, $kind, "")
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

/// A measured wire: name, from, to, mm², mm (300 when not given), further lines.
macro_rules! wire {
    ($name:literal, $from:literal, $to:literal, $mm2:literal) => {
        wire!($name, $from, $to, $mm2, 300)
    };
    ($name:literal, $from:literal, $to:literal, $mm2:literal, $mm:literal) => {
        wire!($name, $from, $to, $mm2, $mm, "")
    };
    ($name:literal, $from:literal, $to:literal, $mm2:literal, $mm:literal, $more:literal) => {
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
            "\n",
            $more,
            "\n"
        )
    };
}

/// A load type: name, its noise class, law, nominal, brown-out and damage voltages, current.
macro_rules! load_type {
    ($name:literal, $noise:literal, $law:literal, $volts:literal, $low:literal, $high:literal, $amperes:literal) => {
        concat!(
            "\n[[type]]\nname = \"", $name, "\"\ntitle = \"", $name, "\"\ngroup = \"loads\"\nabout = \"A load.\"\n",
            "basis = \"Invented for this page.\"\nsize_mm = [30, 30]\nheight_mm = 20\nmass_g = 50\nnoise = \"", $noise,
            "\"\nfixing = { style = \"loose\" }\nterminal = [\n",
            "  { name = \"plus\", at_mm = [5, 15], height_mm = 5, exit = \"left\", fitting = \"screw-clamp\", wire_mm2 = [0.2, 16], role = \"positive\" },\n",
            "  { name = \"minus\", at_mm = [25, 15], height_mm = 5, exit = \"right\", fitting = \"screw-clamp\", wire_mm2 = [0.2, 16], role = \"return\" },\n]\n",
            "[[type.element]]\nkind = \"load\"\nplus = \"plus\"\nminus = \"minus\"\nlaw = \"", $law, "\"\nnominal_v = ", $volts,
            "\nbrown_out_v = ", $low, "\ndamage_v = ", $high, "\nusual = \"on\"\nactivities = [{ name = \"on\", mean_a = ", $amperes, " }]\n"
        )
    };
}

/// A battery, a blade fuse and a load in a ring: battery type, fuse, load type, mm² and mm of the two
/// long wires.
macro_rules! ring {
    ($battery:literal, $fuse:literal, $load:literal, $mm2:literal, $mm:literal) => {
        ring!($battery, $fuse, $load, $mm2, $mm, "")
    };
    ($battery:literal, $fuse:literal, $load:literal, $mm2:literal, $mm:literal, $more:literal) => {
        concat!(
            part!("battery", $battery),
            "\n[[part]]\nname = \"fuse\"\ntype = \"fuse-holder-blade\"\nzone = \"body\"\nfuses = { way = \"", $fuse, "\" }\n",
            part!("load", $load),
            wire!("heart", "battery.plus", "fuse.in", 4, 100),
            wire!("feed", "fuse.out", "load.plus", $mm2, $mm, $more),
            wire!("return", "load.minus", "battery.minus", $mm2, $mm, $more)
        )
    };
}

/// One lasting situation, with further lines.
macro_rules! situation {
    ($name:literal) => {
        situation!($name, "")
    };
    ($name:literal, $more:literal) => {
        concat!(
            "\n[[situation]]\nname = \"",
            $name,
            "\"\ncharge_percent = 80\nlasting = true\n",
            $more,
            "\n"
        )
    };
}
