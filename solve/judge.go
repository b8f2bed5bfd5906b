package solve

import (
	"pourweek/model"
	"pourweek/model/oracle"
)

// judge asks the checker.
func judge(p *model.Problem, plan *model.Plan) verdict {
	t, broken := oracle.Terms(p, plan)
	return verdict{refused: broken, terms: t}
}
