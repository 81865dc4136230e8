// A small table of points: each x and y with its unit, to add, take out, and put in another order.

import { For, Show } from "solid-js";

export type Row = { x: string; y: string; face?: string };

export function Points(props: {
  id: string; words: string; rows: readonly Row[]; put: (rows: Row[]) => void; hint: string; faces?: boolean;
  why?: (index: number) => string | null;
}) {
  const change = (i: number, with_: Partial<Row>) => props.put(props.rows.map((r, j) => (j === i ? { ...r, ...with_ } : r)));
  const swap = (i: number) => {
    const rows = [...props.rows];
    [rows[i - 1], rows[i]] = [rows[i]!, rows[i - 1]!];
    props.put(rows);
  };
  return (
    <table class="points" aria-label={props.words}>
      <Show when={props.rows.length > 0}>
        <thead><tr><th scope="col">{props.words}</th><Show when={props.faces}><th scope="col">face</th></Show><th scope="col">x</th><th scope="col">y</th><td /></tr></thead>
      </Show>
      <tbody>
        {/* By place and not by content: the field that is typed into stays the same. */}
        <For each={props.rows.map((_, i) => i)}>
          {(i) => (
            <Show when={props.rows[i]}>
              {(row) => (
                <>
                  <tr>
                    <th scope="row">{i + 1}</th>
                    <Show when={props.faces}>
                      <td><select aria-label={`face of ${i + 1}`} value={row().face ?? "front"} onChange={(e) => change(i, { face: e.currentTarget.value })}><option value="front">front</option><option value="back">back</option></select></td>
                    </Show>
                    <td><input aria-label={`x of ${i + 1}`} value={row().x} placeholder={props.hint} autocomplete="off" aria-invalid={props.why?.(i) != null} onChange={(e) => change(i, { x: e.currentTarget.value })} /></td>
                    <td><input aria-label={`y of ${i + 1}`} value={row().y} placeholder={props.hint} autocomplete="off" aria-invalid={props.why?.(i) != null} onChange={(e) => change(i, { y: e.currentTarget.value })} /></td>
                    <td class="points-do">
                      <button type="button" class="quiet-button" aria-label={`Move ${i + 1} up`} title="Earlier" disabled={i === 0} onClick={() => swap(i)}>↑</button>
                      <button type="button" class="quiet-button" aria-label={`Take ${i + 1} out`} title="Take it out" onClick={() => props.put(props.rows.filter((_, j) => j !== i))}>×</button>
                    </td>
                  </tr>
                  <Show when={props.why?.(i)}>{(why) => <tr><td colspan="5" class="key-why">{why()}</td></tr>}</Show>
                </>
              )}
            </Show>
          )}
        </For>
      </tbody>
      <tfoot><tr><td colspan="5"><button type="button" onClick={() => props.put([...props.rows, { x: "", y: "", ...(props.faces ? { face: props.rows.at(-1)?.face ?? "front" } : {}) }])}>Add a point</button></td></tr></tfoot>
    </table>
  );
}
