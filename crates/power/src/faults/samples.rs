//! Small robots for the pages about motion: a battery, a driver and one wheel, wired on the bench.

/// What they share: lines before `[motion]` and in it, parts and wires between the fuse and the driver, what
/// is closed in the show, further text.
macro_rules! rolling {
    ($limits:expr, $motion:literal, $parts:expr, $wires:expr, $closed:literal, $more:expr) => {
        concat!(
            "format = 1\n[robot]\nname = \"Roller\"\n",
            $limits,
            "[motion]\nmass_kg = 40\n",
            $motion,
            "\n[[zone]]\nname = \"body\"\npath_mm = 100\n",
            part!("battery", "lead-agm-12v-12ah"),
            part!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-25a\" }"),
            $parts,
            part!("driver", "motor-driver-12v-24v-10a"),
            part!("wheel", "drive-gearmotor-24v-100w"),
            wire!("heart", "battery.plus", "fuse.in", 4),
            $wires,
            wire!("motor-a", "driver.motor-a", "wheel.a", 2.5),
            wire!("motor-b", "driver.motor-b", "wheel.b", 2.5),
            "\n[[situation]]\nname = \"show\"\nclosed = [",
            $closed,
            "]\ncharge_percent = 80\nspeed_m_s = 0.4\n",
            $more
        )
    };
}

/// Behind a switch between two buses: further keys of `[limits]` and `[motion]`, then further text.
macro_rules! roller {
    ($limits:literal, $motion:literal, $more:expr) => {
        rolling!(
            concat!("[limits]\n", $limits, "\n"),
            $motion,
            concat!(
                part!("live", "bus-bar-m6-4"),
                part!("switch", "isolator-key-100a"),
                part!("bus", "bus-bar-m6-4")
            ),
            concat!(
                wire!("feed-1", "fuse.out", "live.s1", 4),
                wire!("feed-2", "live.s2", "switch.a", 6),
                wire!("feed-3", "switch.b", "bus.s1", 6),
                wire!("feed-4", "bus.s2", "driver.plus", 4),
                wire!("return", "driver.minus", "battery.minus", 4)
            ),
            "\"switch\"",
            $more
        )
    };
}

/// A way past the switch: a diode of this type and a fuse.
macro_rules! way_back {
    ($diode:literal, $mm2:literal) => {
        concat!(
            part!("diode", $diode),
            part!("back-fuse", "fuse-holder-blade", "fuses = { way = \"blade-20a\" }"),
            wire!("back-1", "bus.s3", "diode.anode", $mm2),
            wire!("back-2", "diode.cathode", "back-fuse.in", $mm2),
            wire!("back-3", "back-fuse.out", "live.s3", $mm2)
        )
    };
}

/// Behind a contactor that a button opens, and a main switch before it or not.
macro_rules! contacted {
    ("wired") => {
        contacted!("fuse.out", "\"button\"", "")
    };
    ("isolated") => {
        contacted!(
            "main.b",
            "\"main\", \"button\"",
            concat!(part!("main", "isolator-key-100a"), wire!("feed-0", "fuse.out", "main.a", 6))
        )
    };
    ($from:literal, $closed:literal, $more:expr) => {
        rolling!(
            "",
            "",
            concat!(
                part!("live", "bus-bar-m6-4"),
                part!("button", "stop-button-10a"),
                part!("contactor", "contactor-12v-80a")
            ),
            concat!(
                wire!("battery-side", $from, "live.s1", 4),
                wire!("feed-2", "live.s2", "contactor.a", 4),
                wire!("feed-3", "contactor.b", "driver.plus", 4),
                wire!("coil-1", "live.s3", "button.a", 1),
                wire!("coil-2", "button.b", "contactor.coil-plus", 1),
                wire!("coil-3", "contactor.coil-minus", "battery.minus", 1),
                wire!("return", "driver.minus", "battery.minus", 4)
            ),
            $closed,
            $more
        )
    };
}

/// A switch in the return, or in the supply.
macro_rules! return_switched {
    ("minus") => {
        return_switched!(concat!(
            wire!("feed", "fuse.out", "driver.plus", 4),
            wire!("return-1", "driver.minus", "switch.a", 4),
            wire!("return-2", "switch.b", "battery.minus", 4)
        ))
    };
    ("plus") => {
        return_switched!(concat!(
            wire!("feed-1", "fuse.out", "switch.a", 4),
            wire!("feed-2", "switch.b", "driver.plus", 4),
            wire!("return", "driver.minus", "battery.minus", 4)
        ))
    };
    ($wires:expr) => {
        rolling!("", "", part!("switch", "isolator-key-100a"), "", "\"switch\"", $wires)
    };
}
