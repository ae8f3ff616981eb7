package figures

// MostCalibrations is mostCalibrations, for a file of one more.
const MostCalibrations = mostCalibrations
