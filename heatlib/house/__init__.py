"""The model of one greenhouse, built on the physics floor: description, weather, balance, sizing, measured."""
