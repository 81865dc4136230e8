//! Small robots for the pages, wired on the bench.

/// A load with a capacitor at its supply: its name, capacitance in µF, what destroys it in V.
macro_rules! load_with {
    ($name:literal, $uf:literal, $damage:literal) => {
        concat!(
            "\n[[type]]\nname = \"", $name, "\"\ntitle = \"", $name, "\"\ngroup = \"loads\"\nabout = \"A load.\"\n",
            "basis = \"Invented for this page.\"\nsize_mm = [30, 30]\nheight_mm = 20\nmass_g = 50\nnoise = \"power\"\n",
            "fixing = { style = \"loose\" }\nterminal = [\n",
            "  { name = \"plus\", at_mm = [5, 15], height_mm = 5, exit = \"left\", fitting = \"screw-clamp\", wire_mm2 = [0.2, 50], room_for = 2, role = \"positive\" },\n",
            "  { name = \"minus\", at_mm = [25, 15], height_mm = 5, exit = \"right\", fitting = \"screw-clamp\", wire_mm2 = [0.2, 50], role = \"return\", room_for = 2 },\n]\n",
            "[[type.element]]\nkind = \"load\"\nplus = \"plus\"\nminus = \"minus\"\nlaw = \"current\"\nnominal_v = 12",
            "\nbrown_out_v = 9\ndamage_v = ", $damage, "\nusual = \"on\"\nactivities = [{ name = \"on\", mean_a = 0.5 }]\n",
            "capacitance_uf = ", $uf, "\n"
        )
    };
}

/// A load with a ceramic capacitor for 16 V at its supply, which has hardly any series resistance.
macro_rules! ceramic {
    ($name:literal) => {
        concat!(
            load_with!($name, 1, 30),
            "[[type.element]]\nkind = \"capacitor\"\nname = \"input\"\nplus = \"plus\"\nminus = \"minus\"\n",
            "farads_uf = 22\nesr_mohm = 5\nvoltage_v = 16\n"
        )
    };
}

/// A battery of 24 V out of two.
macro_rules! two_batteries {
    () => {
        concat!(
            part!("battery", "lead-agm-12v-12ah"),
            part!("lower", "lead-agm-12v-12ah"),
            wire!("between", "battery.minus", "lower.plus", 4, 100),
        )
    };
}

/// A fuse, a bus, a driver with two wheels and a player behind a battery: driver, motor, mm² of the wires
/// in common.
macro_rules! two_wheels {
    ($driver:literal, $motor:literal, $mm2:literal) => {
        two_wheels!($driver, $motor, $mm2, "battery.minus", "")
    };
    ($driver:literal, $motor:literal, $mm2:literal, $minus:literal, $speed:expr) => {
        concat!(
            "\n[[part]]\nname = \"fuse\"\ntype = \"fuse-holder-blade\"\nzone = \"body\"\nfuses = { way = \"blade-15a\" }\n",
            part!("bus", "bus-bar-m6-4"),
            part!("returns", "bus-bar-m6-4"),
            part!("driver", $driver),
            part!("left", $motor),
            part!("right", $motor),
            part!("load", "player"),
            wire!("heart", "battery.plus", "fuse.in", $mm2, 1500),
            wire!("feed", "fuse.out", "bus.s1", $mm2, 1500),
            wire!("driver-feed", "bus.s2", "driver.plus", 4, 300),
            wire!("load-feed", "bus.s3", "load.plus", 1.5, 300),
            wire!("load-return", "load.minus", "returns.s2", 1.5, 300),
            wire!("driver-return", "driver.minus", "returns.s1", 4, 300),
            wire!("return", "returns.s3", $minus, $mm2, 3000),
            wire!("left-a", "driver.left-a", "left.a", 2.5, 300),
            wire!("left-b", "driver.left-b", "left.b", 2.5, 300),
            wire!("right-a", "driver.right-a", "right.a", 2.5, 300),
            wire!("right-b", "driver.right-b", "right.b", 2.5, 300),
            "\n[motion]\nmass_kg = 40\n",
            "\n[[situation]]\nname = \"waiting\"\ncharge_percent = 40\nlasting = true\n",
            $speed
        )
    };
}

/// The situation in which the wheels run.
macro_rules! driving {
    () => {
        "\n[[situation]]\nname = \"driving\"\ncharge_percent = 100\nspeed_m_s = 1.2\nlasting = true\n"
    };
}

/// Battery, fuse, switch and load in a ring: fuse, switch, load, length of the two long wires in mm.
macro_rules! switched_ring {
    ($fuse:literal, $switch:literal, $load:literal, $mm:literal) => {
        concat!(
            part!("battery", "lead-agm-12v-12ah"),
            "\n[[part]]\nname = \"fuse\"\ntype = \"fuse-holder-blade\"\nzone = \"body\"\nfuses = { way = \"", $fuse, "\" }\n",
            part!("switch", $switch),
            part!("load", $load),
            wire!("heart", "battery.plus", "fuse.in", 4, 100),
            wire!("feed-1", "fuse.out", "switch.a", 4, 200),
            wire!("feed-2", "switch.b", "load.plus", 4, $mm),
            wire!("return", "load.minus", "battery.minus", 4, $mm),
            "\n[[situation]]\nname = \"show\"\nclosed = [\"switch\"]\ncharge_percent = 80\nlasting = true\n"
        )
    };
}

/// A resistor with its fuse and button across the switch of a [`switched_ring!`], and the situation in which it
/// fills the load's capacitor, with further lines.
macro_rules! filled_first {
    ($resistor:literal, $activity:literal) => {
        concat!(
            part!("fill-fuse", "fuse-holder-blade", "fuses = { way = \"blade-3a\" }"),
            part!("fill-button", "micro-switch-5a"),
            part!("fill", $resistor),
            wire!("fill-1", "switch.a", "fill-fuse.in", 1, 100),
            wire!("fill-2", "fill-fuse.out", "fill-button.a", 1, 100),
            wire!("fill-3", "fill-button.b", "fill.a", 1, 100),
            wire!("fill-4", "fill.b", "switch.b", 1, 100),
            "\n[[situation]]\nname = \"filling\"\nclosed = [\"fill-button\"]\ncharge_percent = 80\nlasts_s = 2\n", $activity, "\n"
        )
    };
}
