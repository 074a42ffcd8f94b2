// Opens a page in Chromium at desktop and telephone width and prints what a reader would meet, as JSON: what the page says to the console,
// what it asks of the network, whether anything is wider than the screen, which figures are drawn and have a text, where links lead, and how
// many pages of paper it makes. With a second argument it leaves pictures of the page, cut into slices, in that folder.
import { chromium } from 'playwright-core'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'

const [file, pictures] = process.argv.slice(2)
const profile = mkdtempSync(join(tmpdir(), 'page-'))
const browser = await chromium.launchPersistentContext(profile, {
  executablePath: process.env.CHROMIUM || '/usr/bin/chromium', headless: true, javaScriptEnabled: true,
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
})
const found = { widths: [], pdf: null }
try {
  for (const [width, height] of [[1280, 900], [390, 844]]) {
    const page = await browser.newPage()
    await page.setViewportSize({ width, height })
    const seen = { width, console: [], requests: [] }
    page.on('console', m => seen.console.push(`${m.type()}: ${m.text()}`))
    page.on('pageerror', e => seen.console.push(`error: ${e.message}`))
    page.on('request', r => { if (!r.url().startsWith('data:') && r.url() !== pathToFileURL(file).href) seen.requests.push(r.url()) })
    await page.goto(pathToFileURL(file).href, { waitUntil: 'load' })
    await page.evaluate(async () => {
      for (const d of document.querySelectorAll('details')) d.open = true
      await Promise.all([...document.images].map(i => i.decode().catch(() => {})))
    })
    Object.assign(seen, await page.evaluate(() => {
      const wide = document.documentElement.clientWidth
      // what sticks out and does not lie in a box that scrolls
      const out = [...document.body.querySelectorAll('*')].filter(e => {
        const r = e.getBoundingClientRect()
        if (r.width === 0 || r.right <= wide + 0.5 && r.left >= -0.5) return false
        for (let p = e.parentElement; p; p = p.parentElement) if (['auto', 'scroll'].includes(getComputedStyle(p).overflowX)) return false
        return true
      })
      const pale = [...document.querySelectorAll('p,li,td,th,dd,dt,figcaption,caption,summary,h1,h2,h3')].filter(e => parseFloat(getComputedStyle(e).fontSize) < 11)
      return {
        scroll: document.documentElement.scrollWidth, client: wide, height: document.documentElement.scrollHeight, out: out.slice(0, 5).map(e => e.outerHTML.slice(0, 120)),
        figures: [...document.images].map(i => ({ alt: i.alt, natural: i.naturalWidth, shown: Math.round(i.getBoundingClientRect().width), caption: i.closest('figure')?.querySelector('figcaption')?.textContent || '' })),
        broken: [...document.querySelectorAll('a[href^="#"]')].filter(a => !document.getElementById(a.getAttribute('href').slice(1))).map(a => a.href),
        headings: [...document.querySelectorAll('h1,h2')].map(h => h.textContent), tiny: pale.length, title: document.title, language: document.documentElement.lang,
        emptyCells: [...document.querySelectorAll('td')].filter(c => c.textContent.trim() === '').length,
      }
    }))
    if (pictures) {
      await page.evaluate(() => { for (const d of document.querySelectorAll('details')) d.open = false })
      const tall = await page.evaluate(() => document.documentElement.scrollHeight)
      const slice = width > 1000 ? 1600 : 1700
      for (let y = 0, n = 0; y < tall; y += slice, n++) {
        await page.screenshot({ path: join(pictures, `${width}-${String(n).padStart(2, '0')}.png`), fullPage: true, clip: { x: 0, y, width, height: Math.min(slice, tall - y) } })
      }
    }
    found.widths.push(seen)
    if (width === 1280) {
      const pdf = await page.pdf({ format: 'A4', margin: { top: '15mm', bottom: '15mm', left: '15mm', right: '15mm' }, path: pictures ? join(pictures, 'page.pdf') : undefined })
      found.pdf = { bytes: pdf.length, pages: (pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g) || []).length }
    }
    await page.close()
  }
} finally {
  await browser.close()
  rmSync(profile, { recursive: true, force: true })
}
console.log(JSON.stringify(found))
