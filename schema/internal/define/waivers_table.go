// Code generated from waivers.cue by go test ./schema/internal/define -update; DO NOT EDIT.

package define

import "example.org/headroom/schema/internal/source"

var definitionWaiver = Definition{Name: "#Waiver", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "rule", Need: MustGive, Doc: "Id of the rule whose finding is accepted.", Value: &definitionRuleId},
	{Name: "subject", Need: MustGive, Doc: "The subject that the finding names: a part, a conductor, or part.terminal such as shunt.sense_a.", Value: &definitionText},
	{Name: "reason", Need: MustGive, Doc: "Why it is safe to leave it so, in a sentence.", Value: &definitionSentence},
	{Name: "approved_by", Need: MustGive, Doc: "Who decided: a role, such as \"workshop lead\".", Value: &definitionText},
	{Name: "expires", Need: MustGive, Doc: "The last day on which it applies, such as \"2027-03-31\".", Value: &definitionDate},
	{Name: "down_to", Need: MayGive, Doc: "The lowest headroom that it covers, as the finding shows it. Without it any headroom is covered.", Value: &definitionFactor},
}}
