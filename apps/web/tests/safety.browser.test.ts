import { afterAll, describe, expect, inject, it } from 'vitest'
import { request } from 'node:http'
import { closeBrowser, openPage } from './support/open-page.ts'

afterAll(closeBrowser)

/** Status of a request with a Host header of our choosing. */
function statusFor(headers: Record<string, string>, path = '/', method = 'GET'): Promise<number | undefined> {
  const { port } = new URL(inject('address'))
  return new Promise((resolve, reject) => {
    request({ host: '127.0.0.1', port, path, method, headers }, (answer) => {
      answer.resume()
      resolve(answer.statusCode)
    })
      .on('error', reject)
      .end()
  })
}

describe('the local server', () => {
  it('answers only requests that name this computer', async () => {
    const { host } = new URL(inject('address'))
    expect(await statusFor({ Host: host })).toBe(200)
    expect(await statusFor({ Host: 'elsewhere.example' })).toBe(403)
    expect(await statusFor({ Host: `elsewhere.example:${host.split(':')[1]}` })).toBe(403)
  })
  it('gives built files and nothing else', async () => {
    const { host } = new URL(inject('address'))
    expect(await statusFor({ Host: host }, '/../server/start.js')).toBe(404)
    expect(await statusFor({ Host: host }, '/..%2fserver%2fstart.js')).toBe(404)
    expect(await statusFor({ Host: host }, '/', 'POST')).toBe(405)
    expect(await statusFor({ Host: host, 'Sec-Fetch-Site': 'cross-site', 'Sec-Fetch-Mode': 'no-cors' })).toBe(403)
  })
})

describe('the page', () => {
  it('opens without an error, a breach of the policy or a request to elsewhere', async () => {
    const { page, context, faults } = await openPage()
    await page.waitForSelector('main')
    expect(faults).toEqual([])
    await context.close()
  })
})
