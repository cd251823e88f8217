package calc

// ClassALimitV is the highest working voltage in V DC of voltage class A.
// Source: ISO 6469-3, UN R100, UN R136.
const ClassALimitV = 60
