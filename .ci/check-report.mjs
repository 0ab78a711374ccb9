// Opens report pages in headless Chromium and holds what a reader needs: valid
// HTML by html-validate, no violation of WCAG 2.2 A and AA found by axe-core,
// nothing on the console, no request off the machine, no sideways scrolling,
// and the next three tasks above the fold of a phone. Screenshots and a PDF
// are left beside the page. In every drawing, of a page or alone, no letter may
// reach over the edge or over another.
//
//     node check-report.mjs TOOLS OUT PAGE.html... DRAWING.svg...
//
// OUT is the folder for the pictures of drawings that stand alone.
// TOOLS is the folder with node_modules: playwright-core, axe-core and
// html-validate.
import { createRequire } from 'node:module'
import { readFileSync } from 'node:fs'
import { basename, resolve } from 'node:path'
import { pathToFileURL } from 'node:url'

const [tools, out, ...files] = process.argv.slice(2)
if (!tools || files.length === 0) {
  console.error('usage: check-report.mjs TOOLS OUT PAGE.html... DRAWING.svg...')
  process.exit(2)
}
const pages = files.filter(f => f.endsWith('.html'))
const drawings = files.filter(f => f.endsWith('.svg'))
const require = createRequire(resolve(tools, 'check.cjs'))
const { chromium } = require('playwright-core')
const { HtmlValidate } = require('html-validate')
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8')

const phone = { width: 360, height: 740 }
const desk = { width: 1440, height: 900 }
const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']
const faults = []
const fault = (page, text) => faults.push(`${page}: ${text}`)

async function valid (name) {
  const v = new HtmlValidate({
    extends: ['html-validate:standard'],
    // Taste, not validity: the style sheet is inside because the file is alone.
    rules: { 'no-inline-style': 'off', 'long-title': 'off' }
  })
  const report = await v.validateFile(name)
  for (const file of report.results) {
    for (const m of file.messages) fault(name, `${m.line}:${m.column} ${m.message} (${m.ruleId})`)
  }
}

async function look (browser, name, size, scheme) {
  const context = await browser.newContext({ viewport: size, colorScheme: scheme, deviceScaleFactor: 1 })
  const page = await context.newPage()
  page.on('console', m => fault(name, `console: ${m.text()}`))
  page.on('pageerror', e => fault(name, `page error: ${e.message}`))
  page.on('request', r => {
    if (!/^(file|data):/.test(r.url())) fault(name, `asks for ${r.url()}`)
  })
  await page.goto(pathToFileURL(resolve(name)).href)
  const shot = name.replace(/\.html$/, `-${size.width}-${scheme}.png`)
  await page.screenshot({ path: shot, fullPage: true })
  if (size === phone) await page.screenshot({ path: shot.replace('.png', '-fold.png') })
  const width = await page.evaluate('document.documentElement.scrollWidth')
  if (width > size.width) fault(name, `is ${width} px wide on a screen of ${size.width} px`)
  if (size === phone) await fold(page, name, size)
  await letters(page, name)
  await page.evaluate(axe)
  const found = await page.evaluate(t => axe.run(document, { runOnly: t }), tags)
  for (const v of found.violations) {
    for (const n of v.nodes) fault(name, `${size.width} px ${scheme}: ${v.id}: ${v.help}: ${n.target}`)
  }
  if (found.passes.length === 0) fault(name, 'axe-core checked nothing')
  console.log(`${name} at ${size.width} px, ${scheme}: ${found.passes.length} rules of axe-core passed, ${found.violations.length} failed`)
  await context.close()
}

// fold wants every task of the answer on the first screen.
async function fold (page, name, size) {
  const ends = await page.$$eval('.next li', all => all.map(e => e.getBoundingClientRect().bottom))
  if (ends.length === 0) fault(name, 'has no next task')
  for (const y of ends) {
    if (y > size.height) fault(name, `a next task ends ${Math.round(y)} px down, below the fold of ${size.height} px`)
  }
}

// letters looks for texts of drawings that are cut off or lie over each other.
// A text's box holds room for letters that hang below the line and for accents:
// boxes may touch by a third of their height.
async function letters (page, name) {
  const found = await page.evaluate(() => {
    const wrong = []
    let seen = 0
    for (const svg of document.querySelectorAll('svg.btc')) {
      const edge = svg.getBoundingClientRect()
      if (edge.width === 0) continue // drawn for another width
      const all = [...svg.querySelectorAll('text')].map(t => ({ text: t.textContent, box: t.getBoundingClientRect() }))
      seen += all.length
      all.forEach(({ text, box }, i) => {
        if (box.left < edge.left - 1 || box.right > edge.right + 1 || box.top < edge.top - 1 || box.bottom > edge.bottom + 1) wrong.push(`"${text}" is cut off`)
        for (const other of all.slice(i + 1)) {
          const across = Math.min(box.right, other.box.right) - Math.max(box.left, other.box.left)
          const down = Math.min(box.bottom, other.box.bottom) - Math.max(box.top, other.box.top)
          if (across > 1 && down > box.height / 3) wrong.push(`"${text}" lies over "${other.text}"`)
        }
      })
    }
    return { wrong, seen }
  })
  if (found.seen === 0) fault(name, 'no text in any drawing')
  for (const w of found.wrong) fault(name, w)
}

// alone looks at drawings that stand alone, on a phone and on a desk.
async function alone (browser) {
  for (const width of [360, 1200]) {
    const page = await browser.newPage({ viewport: { width, height: 500 } })
    for (const name of drawings) {
      await page.goto(pathToFileURL(resolve(name)).href)
      await letters(page, name)
      await page.screenshot({ path: resolve(out, basename(name).replace(/\.svg$/, `-${width}.png`)) })
    }
    await page.close()
  }
}

async function print (browser, name) {
  const page = await browser.newPage({ colorScheme: 'light' })
  await page.goto(pathToFileURL(resolve(name)).href)
  for (const format of ['A4', 'Letter']) {
    await page.pdf({ path: name.replace(/\.html$/, `-${format}.pdf`), format, margin: { top: '12mm', bottom: '12mm', left: '12mm', right: '12mm' }, tagged: true, outline: true })
  }
  await page.close()
}

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM || '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking', '--disable-component-update', '--disable-sync']
})
for (const name of pages) {
  await valid(name)
  // The first page is looked at in every way, the others in two.
  await look(browser, name, phone, 'light')
  await look(browser, name, desk, 'dark')
  if (name === pages[0]) {
    await look(browser, name, phone, 'dark')
    await look(browser, name, desk, 'light')
  }
  await print(browser, name)
}
await alone(browser)
console.log(`${drawings.length} drawings looked at on 360 and 1200 px`)
await browser.close()
for (const f of faults) console.error(f)
process.exit(faults.length ? 1 : 0)
