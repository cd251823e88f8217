// Prints what the independent SARIF validator reported and fails on any error
// or warning.
const report = JSON.parse(require('fs').readFileSync(process.argv[2], 'utf8'))
let bad = 0
for (const run of report.runs) {
  for (const result of run.results || []) {
    const level = result.level || 'warning'
    const text = (result.message.text || result.message.id) + ' ' + JSON.stringify(result.message.arguments || [])
    if (level === 'error' || level === 'warning') {
      bad++
      console.log(`${level} ${result.ruleId}: ${text}`)
    }
  }
}
console.log(`${process.argv[2].split('/').pop()}: ${bad} errors and warnings`)
process.exit(bad ? 1 : 0)
