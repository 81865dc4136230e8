//! Small robots with plugs for the pages.

/// The beginning of a robot whose parts hang in zones, with a board for the plugs.
macro_rules! plugged {
    ($($text:tt)*) => {
        concat!(
            "format = 1\n[robot]\nname = \"Bench\"\n\n[[zone]]\nname = \"body\"\npath_mm = 300\n",
            "\n[board]\nsize_mm = [400, 300]\nthickness_mm = 9\nmaterial = \"hdpe\"\ndepth_front_mm = 60\ndepth_back_mm = 40\n",
            $($text)*
        )
    };
}

/// A plug at the right edge: name, family, height on the board, further lines.
macro_rules! plug {
    ($name:literal, $family:literal, $y:literal) => {
        plug!($name, $family, $y, "")
    };
    ($name:literal, $family:literal, $y:literal, $more:literal) => {
        concat!(
            "\n[[plug]]\nname = \"",
            $name,
            "\"\nfamily = \"",
            $family,
            "\"\nzone = \"body\"\nface = \"front\"\nat_mm = [380, ",
            $y,
            "]\n",
            $more,
            "\n"
        )
    };
}
