import type { Role } from '../domain/vocabulary.ts';
import { areasFor } from './navigation.ts';

/** The first page: everything that this person may do, as large targets. */
export function Start({ name, role }: { name: string; role: Role }) {
  const areas = areasFor(role);
  return (
    <>
      <p>Good to see you, {name}.</p>
      {areas.length === 0 && <p>There is nothing for your role yet.</p>}
      {areas.map(({ label, places }) => (
        <section>
          <h2>{label}</h2>
          <ul class="ways">
            {places.map((place) => (
              <li>
                <a href={place.path}>{place.label}</a>
              </li>
            ))}
          </ul>
        </section>
      ))}
    </>
  );
}
