/** Which vessel the page speaks of; nothing where there is one. */
import type { Desk } from '../desk/desk.ts'
import { For, Show } from '../framework.ts'

export function VesselChoice(props: { readonly desk: Desk; readonly class?: string; readonly label: string }) {
  const vessels = () => props.desk.day()?.demonstration?.vessels ?? []
  return (
    <Show when={vessels().length > 1}>
      <label class={props.class}>
        {props.label}{' '}
        <select onChange={(event) => props.desk.chooseVessel(event.currentTarget.value)}>
          <For each={vessels()}>
            {(vessel) => (
              <option value={vessel.id} selected={vessel.id === props.desk.vessel()}>
                {vessel.id}
              </option>
            )}
          </For>
        </select>
      </label>
    </Show>
  )
}
