/** Where bay.js says what waits on this phone; of this shop alone, whoever else signs in here. */
export function Waiting({ shopId }: { shopId: string }) {
  return <div id="waiting" data-for={shopId} tabindex={-1} hidden></div>;
}
