import { render } from "solid-js/web";
import "@fontsource/barlow-semi-condensed/latin-400.css";
import "@fontsource/barlow-semi-condensed/latin-500.css";
import "@fontsource/barlow-semi-condensed/latin-600.css";
import "@fontsource/barlow-semi-condensed/latin-ext-400.css";
import "@fontsource/barlow-semi-condensed/latin-ext-500.css";
import "./look/theme.css";
import "./look/desk.css";
import "./look/board.css";
import "./look/words.css";
import "./look/make.css";
import "./look/types.css";
import "./look/editing.css";
import { App } from "./shell/App.tsx";
import { start } from "./state/desk.ts";

const root = document.getElementById("desk");
if (root) {
  render(() => <App />, root);
  start();
}
