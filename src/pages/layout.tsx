import type { Child } from 'hono/jsx';
import type { Role } from '../domain/vocabulary.ts';
import { assetHref } from './assets.ts';
import { type Area, areasFor, type Place, placeAt } from './navigation.ts';

/** What stands around every page. Without `person` nobody is signed in, and the page has no navigation. */
export interface Frame {
  readonly path: string;
  readonly shop?: { readonly name: string; readonly invented: boolean } | undefined;
  readonly person?: { readonly name: string; readonly role: Role } | undefined;
}

export interface PageHead {
  readonly title: string;
  /** Scripts of src/pages/assets, by name; the page must do its work without them. */
  readonly scripts?: readonly string[];
  /** For pages that are read, not filled in: tables and pictures may take the width of a desk's screen. */
  readonly wide?: boolean;
}

/** A whole document; the helper that sends it puts `<!doctype html>` before it. */
export function Layout({ head, frame, children }: { head: PageHead; frame: Frame; children?: Child }) {
  const shopName = frame.shop?.name ?? 'secondpass';
  return (
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="color-scheme" content="light dark" />
        <title>{`${head.title} – ${shopName}`}</title>
        <link rel="stylesheet" href={assetHref('style.css')} />
        <link rel="icon" type="image/svg+xml" href={assetHref('icon.svg')} />
        {head.scripts?.map((name) => (
          <script type="module" src={assetHref(name)} />
        ))}
      </head>
      <body class={head.wide ? 'wide' : undefined}>
        <a class="skip" href="#content">
          To the content
        </a>
        <TopBand frame={frame} />
        <main id="content" tabindex={-1}>
          <h1>{head.title}</h1>
          {children}
        </main>
      </body>
    </html>
  );
}

function TopBand({ frame: { shop, person, path } }: { frame: Frame }) {
  return (
    <header class="band">
      <div class="band-row">
        <a class="shop" href="/start">
          {shop?.name ?? 'secondpass'}
        </a>
        {person && <SignedIn name={person.name} />}
      </div>
      {shop?.invented && (
        <p class="invented">Invented to show the program: people, machines, jobs and figures are made up.</p>
      )}
      {person && <Navigation areas={areasFor(person.role)} path={path} />}
    </header>
  );
}

function SignedIn({ name }: { name: string }) {
  return (
    <div class="signed-in">
      <a href="/account">{name}</a>
      <form method="post" action="/sign-out">
        <button type="submit" class="quiet">
          Sign out
        </button>
      </form>
    </div>
  );
}

/**
 * The areas in one row, and beneath it the places of the one we are in. Where there are many, a phone gets them behind
 * one line instead, so that a page begins near the top of its screen.
 */
function Navigation({ areas, path }: { areas: readonly Area[]; path: string }) {
  const place = placeAt(areas, path);
  const here = areas.find(({ places }) => place !== undefined && places.includes(place));
  const many = areas.flatMap(({ places }) => places).length > fewPlaces;
  return (
    <>
      <nav aria-label="Screens" class={many ? 'desk-only' : undefined}>
        <ul class="areas">
          {areas.map((area) => (
            <li>
              <a href={area.places[0]?.path} aria-current={area === here ? 'true' : undefined}>
                {area.label}
              </a>
            </li>
          ))}
        </ul>
        {here && here.places.length > 1 && <Places places={here.places} place={place} />}
      </nav>
      {many && (
        <nav aria-label="All screens" class="phone-only">
          <details>
            <summary>{here && place ? `${here.label}: ${place.label}` : 'All screens'}</summary>
            {areas.map((area) => (
              <>
                <h2>{area.label}</h2>
                <Places places={area.places} place={place} />
              </>
            ))}
          </details>
        </nav>
      )}
    </>
  );
}

/** What takes no more than two rows on a phone. */
const fewPlaces = 4;

function Places({ places, place: here }: { places: readonly Place[]; place: Place | undefined }) {
  return (
    <ul class="places">
      {places.map((place) => (
        <li>
          <a href={place.path} aria-current={place === here ? 'page' : undefined}>
            {place.label}
          </a>
        </li>
      ))}
    </ul>
  );
}
