// What lies on the bench, in the column of words.

import { Match, Switch } from "solid-js";
import { AddOpening } from "./AddOpening.tsx";
import { AddPart } from "./AddPart.tsx";
import { MakeBoard } from "./NewThing.tsx";
import { DrawWire } from "./DrawWire.tsx";
import { MakeType } from "../types/MakeType.tsx";
import { Thing } from "./Thing.tsx";
import { bench, follow } from "./bench.ts";

export function BenchView() {
  follow();
  const on = () => {
    const now = bench();
    return now && "on" in now ? now.on : null;
  };
  const add = () => {
    const now = bench();
    return now && "add" in now ? now.add : null;
  };
  return (
    <Switch>
      <Match when={on()}>{(o) => <Thing on={o()} />}</Match>
      <Match when={add() === "part"}><AddPart /></Match>
      <Match when={add() === "wire"}><DrawWire /></Match>
      <Match when={add() === "type"}><MakeType /></Match>
      <Match when={add() === "board"}><MakeBoard /></Match>
      <Match when={add() === "pass"}><AddOpening /></Match>
    </Switch>
  );
}
