//! A small robot for the pages: a battery, a switch, a driver and one wheel, wired on the bench.

#[allow(unused_macros, reason = "each room uses some of these")]
/// Further keys of `[limits]` and `[motion]`, then further text.
macro_rules! roller {
    ($limits:literal, $motion:literal, $more:expr) => {
        concat!(
            "format = 1\n[robot]\nname = \"Roller\"\n[limits]\n", $limits, "\n[motion]\nmass_kg = 40\n", $motion,
            "\n[[zone]]\nname = \"body\"\npath_mm = 100\n",
            hung!("battery", "lead-agm-12v-12ah", ""),
            hung!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-25a\" }\n"),
            hung!("live", "bus-bar-m6-4", ""),
            hung!("switch", "isolator-key-100a", ""),
            hung!("bus", "bus-bar-m6-4", ""),
            hung!("driver", "motor-driver-12v-24v-10a", ""),
            hung!("wheel", "drive-gearmotor-24v-100w", ""),
            led!("heart", "battery.plus", "fuse.in", 4),
            led!("feed-1", "fuse.out", "live.s1", 4),
            led!("feed-2", "live.s2", "switch.a", 6),
            led!("feed-3", "switch.b", "bus.s1", 6),
            led!("feed-4", "bus.s2", "driver.plus", 4),
            led!("return", "driver.minus", "battery.minus", 4),
            led!("motor-a", "driver.motor-a", "wheel.a", 2.5),
            led!("motor-b", "driver.motor-b", "wheel.b", 2.5),
            "\n[[situation]]\nname = \"show\"\nclosed = [\"switch\"]\ncharge_percent = 80\nspeed_m_s = 0.4\n",
            $more
        )
    };
}

/// A part in the zone.
macro_rules! hung {
    ($name:literal, $kind:literal, $more:literal) => {
        concat!("\n[[part]]\nname = \"", $name, "\"\ntype = \"", $kind, "\"\nzone = \"body\"\n", $more)
    };
}

/// A wire of 300 mm.
macro_rules! led {
    ($name:literal, $from:literal, $to:literal, $mm2:literal) => {
        concat!(
            "\n[[wire]]\nname = \"",
            $name,
            "\"\nfrom = \"",
            $from,
            "\"\nto = \"",
            $to,
            "\"\nsize_mm2 = ",
            $mm2,
            "\nlength_mm = 300\n"
        )
    };
}

#[allow(unused_macros, reason = "each room uses some of these")]
/// A way past the switch: a diode of this type and a fuse.
macro_rules! way_back {
    ($diode:literal, $mm2:literal) => {
        concat!(
            hung!("diode", $diode, ""),
            hung!("back-fuse", "fuse-holder-blade", "fuses = { way = \"blade-20a\" }\n"),
            led!("back-1", "bus.s3", "diode.anode", $mm2),
            led!("back-2", "diode.cathode", "back-fuse.in", $mm2),
            led!("back-3", "back-fuse.out", "live.s3", $mm2)
        )
    };
}

/// The roller with a contactor that a button opens, and a main switch before it or not.
#[allow(unused_macros, reason = "each room uses some of these")]
macro_rules! contacted {
    ("wired") => {
        contacted!("battery-side", "live.s1", "fuse.out", "", "")
    };
    ("isolated") => {
        contacted!(
            "battery-side",
            "live.s1",
            "main.b",
            concat!(hung!("main", "isolator-key-100a", ""), led!("feed-0", "fuse.out", "main.a", 6)),
            "\"main\", "
        )
    };
    ($name:literal, $live:literal, $from:literal, $more:expr, $closed:literal) => {
        concat!(
            "format = 1\n[robot]\nname = \"Roller\"\n[motion]\nmass_kg = 40\n",
            "\n[[zone]]\nname = \"body\"\npath_mm = 100\n",
            hung!("battery", "lead-agm-12v-12ah", ""),
            hung!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-25a\" }\n"),
            hung!("live", "bus-bar-m6-4", ""),
            hung!("button", "stop-button-10a", ""),
            hung!("contactor", "contactor-12v-80a", ""),
            hung!("driver", "motor-driver-12v-24v-10a", ""),
            hung!("wheel", "drive-gearmotor-24v-100w", ""),
            led!("heart", "battery.plus", "fuse.in", 4),
            led!($name, $from, $live, 4),
            led!("feed-2", "live.s2", "contactor.a", 4),
            led!("feed-3", "contactor.b", "driver.plus", 4),
            led!("coil-1", "live.s3", "button.a", 1),
            led!("coil-2", "button.b", "contactor.coil-plus", 1),
            led!("coil-3", "contactor.coil-minus", "battery.minus", 1),
            led!("return", "driver.minus", "battery.minus", 4),
            led!("motor-a", "driver.motor-a", "wheel.a", 2.5),
            led!("motor-b", "driver.motor-b", "wheel.b", 2.5),
            $more,
            "\n[[situation]]\nname = \"show\"\nclosed = [",
            $closed,
            "\"button\"]\ncharge_percent = 80\nspeed_m_s = 0.4\n"
        )
    };
}

/// A switch in the return, or in the supply.
#[allow(unused_macros, reason = "each room uses some of these")]
macro_rules! return_switched {
    ("minus") => {
        return_switched!(
            concat!(
                led!("feed", "fuse.out", "driver.plus", 4),
                led!("return-1", "driver.minus", "switch.a", 4),
                led!("return-2", "switch.b", "battery.minus", 4)
            ),
            ""
        )
    };
    ("plus") => {
        return_switched!(
            concat!(
                led!("feed-1", "fuse.out", "switch.a", 4),
                led!("feed-2", "switch.b", "driver.plus", 4),
                led!("return", "driver.minus", "battery.minus", 4)
            ),
            ""
        )
    };
    ($wires:expr, $more:literal) => {
        concat!(
            "format = 1\n[robot]\nname = \"Roller\"\n[motion]\nmass_kg = 40\n",
            "\n[[zone]]\nname = \"body\"\npath_mm = 100\n",
            hung!("battery", "lead-agm-12v-12ah", ""),
            hung!("fuse", "fuse-holder-blade", "fuses = { way = \"blade-25a\" }\n"),
            hung!("switch", "isolator-key-100a", ""),
            hung!("driver", "motor-driver-12v-24v-10a", ""),
            hung!("wheel", "drive-gearmotor-24v-100w", ""),
            led!("heart", "battery.plus", "fuse.in", 4),
            led!("motor-a", "driver.motor-a", "wheel.a", 2.5),
            led!("motor-b", "driver.motor-b", "wheel.b", 2.5),
            $wires,
            $more,
            "\n[[situation]]\nname = \"show\"\nclosed = [\"switch\"]\ncharge_percent = 80\nspeed_m_s = 0.4\n"
        )
    };
}
