// Opens report pages in headless Chromium and holds what a reader needs: valid
// HTML by html-validate, no violation of WCAG 2.2 A and AA found by axe-core,
// nothing on the console, no request off the machine, no sideways scrolling,
// and the next three tasks above the fold of a phone. Screenshots and a PDF
// are left beside the page.
//
//     node check-report.mjs TOOLS PAGE.html...
//
// TOOLS is the folder with node_modules: playwright-core, axe-core and
// html-validate.
import { createRequire } from 'node:module'
import { readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { pathToFileURL } from 'node:url'

const [tools, ...pages] = process.argv.slice(2)
if (!tools || pages.length === 0) {
  console.error('usage: check-report.mjs TOOLS PAGE.html...')
  process.exit(2)
}
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
  for (const size of [phone, desk]) {
    for (const scheme of ['light', 'dark']) await look(browser, name, size, scheme)
  }
  await print(browser, name)
}
await browser.close()
for (const f of faults) console.error(f)
process.exit(faults.length ? 1 : 0)
