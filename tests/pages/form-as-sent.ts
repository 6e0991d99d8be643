/** The fields of a page's form as a browser sends them when nobody touches anything. */
export function formAsSent(html: string, begins = '<form class="stack job"'): [string, string][] {
  const [form = ''] = html.slice(html.indexOf(begins)).split('</form>');
  const fields = [
    ...form.matchAll(/<input ([^>]*)>|<select ([^>]*)>([\s\S]*?)<\/select>|<textarea ([^>]*)>([\s\S]*?)<\/textarea>/g),
  ];
  return fields.flatMap(([, input, select, options = '', area, text = '']): [string, string][] => {
    const about = input ?? select ?? area ?? '';
    const name = attribute(about, 'name');
    if (name === undefined) return [];
    if (select !== undefined) return [[name, chosen(options)]];
    // Line ends are sent as CR LF, and the first one after the tag is the markup's own.
    if (area !== undefined) return [[name, plain(text).replace(/^\n/, '').replace(/\r?\n/g, '\r\n')]];
    const type = attribute(about, 'type');
    const isBox = type === 'checkbox' || type === 'radio';
    return isBox && !/\schecked/.test(about) ? [] : [[name, attribute(about, 'value') ?? '']];
  });
}

/** The option that is marked, or else the first. */
function chosen(options: string): string {
  const all = [...options.matchAll(/<option ([^>]*)>/g)].map(([, about = '']) => about);
  return attribute(all.find((about) => /\sselected/.test(about)) ?? all[0] ?? '', 'value') ?? '';
}

function attribute(about: string, name: string): string | undefined {
  const found = new RegExp(`(?:^|\\s)${name}="([^"]*)"`).exec(about)?.[1];
  return found === undefined ? undefined : plain(found);
}

function plain(text: string): string {
  return text
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&#39;', "'")
    .replaceAll('&amp;', '&');
}
